//! The cards of findings: in a small window too, the button that mends stays in sight beside its heading.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::missing_assert_message,
    reason = "a test may stop at the first surprise"
)]

mod desk;

use chaffinch_craft::{Finding, Severity};
use desk::{Desk, example_path, settled_prefs};
use eframe::egui::Vec2;
use egui_kittest::kittest::NodeT;

/// Height that the list of findings always has, in points (`findings_list.rs`).
const LEAST_LIST_PX: f32 = 130.0;

/// From the top of a finding's heading to the foot of its buttons.
fn height_px(desk: &Desk, finding: &Finding) -> f32 {
    let weight = match finding.severity() {
        Severity::Note => "Note",
        Severity::Caution => "Caution",
        Severity::Stop => "Stop",
    };
    let spoken = format!("{weight}: {}", finding.heading());
    let mut nodes = desk.root().children_recursive();
    let heading = nodes
        .find(|node| node.value().as_deref() == Some(&*spoken))
        .unwrap_or_else(|| panic!("nothing says “{spoken}”"));
    let show = desk.button(&format!("Show: {}", finding.heading()));
    show.rect().bottom() - heading.rect().top()
}

#[test]
fn a_long_finding_is_cut_and_its_button_stays_in_sight() {
    let file = example_path("ember-ridge-first-attempt.ron");
    let mut desk = Desk::open(Some(&file), settled_prefs(), Vec2::new(1000.0, 640.0));
    let findings = desk.findings().to_vec();
    let like = |heading: &str| {
        findings
            .iter()
            .filter(|one| one.heading() == heading)
            .count()
    };
    let alone = findings.iter().filter(|one| like(one.heading()) == 1);
    let alone: Vec<&Finding> = alone.collect();
    for finding in &alone {
        let height_px = height_px(&desk, finding);
        assert!(height_px <= LEAST_LIST_PX, "{height_px}: {finding:?}");
    }
    let is_cut = |desk: &Desk, finding: &Finding| {
        desk.words()
            .contains(&format!("More: {}", finding.heading()))
    };
    let long = alone.into_iter().find(|finding| is_cut(&desk, finding));
    let long = long.unwrap_or_else(|| panic!("none is cut of {findings:?}"));
    // A screen reader hears all of it all the same.
    assert!(desk.says(&long.sentence(chaffinch_craft::units::TempUnit::Celsius)));
    let cut_px = height_px(&desk, long);
    desk.click(&format!("More: {}", long.heading()));
    let whole_px = height_px(&desk, long);
    assert!(cut_px + 10.0 < whole_px, "{cut_px} {whole_px}");
    desk.click(&format!("Less: {}", long.heading()));
    assert_eq!(height_px(&desk, long), cut_px);
}
