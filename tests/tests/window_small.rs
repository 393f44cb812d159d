//! A window as small as it gets: what doesn't fit scrolls, nothing becomes too low to work with.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise"
)]

mod desk;

use desk::{Desk, settled_prefs};
use eframe::egui::{Key, Rect, Vec2, accesskit::Role};
use egui_kittest::kittest::NodeT;

/// The least size of the window, and the size down to which nothing scrolls in the centre (`window.md`), in points.
const LEAST: Vec2 = Vec2::new(800.0, 560.0);
const SMALL: Vec2 = Vec2::new(1000.0, 640.0);

/// A window of `size` with the drawer open.
fn with_drawer(size: Vec2) -> Desk {
    let mut desk = Desk::open(None, settled_prefs(), size);
    desk.ctrl(Key::P);
    desk
}

fn temperature_lane(desk: &Desk) -> Rect {
    desk.state().lane().unwrap().rect
}

#[test]
fn lanes_keep_their_height_in_the_least_window_and_scroll() {
    let (least, small) = (with_drawer(LEAST), with_drawer(SMALL));
    assert_eq!(
        temperature_lane(&least).height(),
        temperature_lane(&small).height()
    );
    assert!(temperature_lane(&least).width() > 300.0);
    // Without the drawer there is room for all of them.
    let open = Desk::open(None, settled_prefs(), LEAST);
    assert!(temperature_lane(&open).height() > temperature_lane(&least).height());
}

/// The drawer's tools go on in a second line; none ends beyond the window's edge.
#[test]
fn every_button_lies_within_the_width_of_the_least_window() {
    let desk = with_drawer(LEAST);
    let root = desk.root();
    let beyond: Vec<String> = root
        .children_recursive()
        .filter(|node| {
            let role = node.accesskit_node().role();
            matches!(role, Role::Button | Role::RadioButton)
        })
        .filter(|node| node.rect().right() > LEAST.x || node.rect().left() < 0.0)
        .filter_map(|node| node.accesskit_node().label())
        .collect();
    assert_eq!(beyond, Vec::<String>::new());
}

#[test]
fn rail_has_a_tab_for_every_sheet_and_fits() {
    let mut desk = Desk::open(None, settled_prefs(), LEAST);
    for sheet in ["Coffee", "Machine", "Room", "Plans", "Variation"] {
        let tab = desk.button(&format!("Sheet: {sheet}")).rect();
        assert!(tab.bottom() < LEAST.y - 36.0, "{sheet}: {tab:?}");
    }
    assert!(!desk.says("Own heat"), "folded");
    desk.click("Sheet: Variation");
    desk.run();
    let field = desk.field("Spread of the moisture").rect();
    assert!(field.bottom() < LEAST.y, "in sight: {field:?}");
}
