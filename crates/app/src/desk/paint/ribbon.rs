//! A filled area between two lines over the same steps, as one mesh: egui's own fill takes convex outlines only.

use eframe::egui::{Color32, Mesh, Pos2, Shape};

/// The area between `one` and `other`, point by point, in `fill`; where one list is longer, its rest is left out.
///
/// The edges are not smoothed, so a line belongs on each of them. Fewer than two pairs give nothing.
pub fn ribbon(one: &[Pos2], other: &[Pos2], fill: Color32) -> Shape {
    let pairs = one.len().min(other.len());
    if pairs < 2 {
        return Shape::Noop;
    }
    let mut mesh = Mesh::default();
    mesh.reserve_vertices(2 * pairs);
    mesh.reserve_triangles(2 * pairs);
    for (&one, &other) in one.iter().zip(other) {
        let first = mesh.vertices.len() as u32;
        mesh.colored_vertex(one, fill);
        mesh.colored_vertex(other, fill);
        if first > 0 {
            mesh.add_triangle(first - 2, first - 1, first);
            mesh.add_triangle(first - 1, first, first + 1);
        }
    }
    Shape::mesh(mesh)
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;
    use eframe::egui::pos2;

    /// Twice the area of all triangles, in square points.
    fn area(mesh: &Mesh) -> f32 {
        mesh.triangles()
            .map(|corners| {
                let [a, b, c] = corners.map(|corner| mesh.vertices[corner as usize].pos);
                let (ab, ac) = (b - a, c - a);
                (ab.x * ac.y - ab.y * ac.x).abs() / 2.0
            })
            .sum()
    }

    #[test]
    fn ribbon_fills_exactly_what_lies_between_its_lines() {
        let at = |index: u8| f32::from(index);
        let upper: Vec<Pos2> = (0..=10).map(|x| pos2(at(x), 5.0 + at(x))).collect();
        let lower: Vec<Pos2> = (0..=10).map(|x| pos2(at(x), 9.0 + 2.0 * at(x))).collect();
        let Shape::Mesh(mesh) = ribbon(&upper, &lower, Color32::WHITE) else {
            panic!("no mesh")
        };
        assert!(mesh.is_valid());
        // 4 points high at the left, 14 at the right, 10 wide.
        assert!((area(&mesh) - 90.0).abs() < 1e-3, "{}", area(&mesh));
    }

    #[test]
    fn a_single_pair_has_no_area() {
        let one = [pos2(0.0, 0.0)];
        assert_eq!(ribbon(&one, &one, Color32::WHITE), Shape::Noop);
        assert_eq!(ribbon(&[], &one, Color32::WHITE), Shape::Noop);
    }
}
