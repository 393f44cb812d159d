//! What a plan is carried to: sheets edited beside the plan's own, coffee known by its altitude, altitude grades, the rules of
//! practice of the notebook, and what the lanes show of both plans.
//!
//! What is right comes from the issue on carrying over and from `window.md`; numbers by altitude are those of `craft::carry`.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

mod desk;

use chaffinch::desk::rework::{CarryForm, Found, Rework};
use chaffinch_craft::{
    Given, Knowledge, LotNumber, NumberName, Plan,
    carry::{CarryOver, PracticeRules, Rule, RuleName},
};
use chaffinch_shelf::{PRACTICE_FILE, read_practice, save_practice};
use desk::{Desk, WINDOW, example_path, settled_prefs};
use eframe::egui::{Key, Modifiers, Vec2, accesskit::Role};
use egui_kittest::kittest::NodeT;
use std::{fs, path::Path};

const NARROW: Vec2 = Vec2::new(1000.0, 640.0);
/// High enough for all sheets.
const TALL: Vec2 = Vec2::new(1280.0, 2400.0);
const DENSITY: &str = "Density of the coffee";
const ALTITUDE: &str = "Altitude of growth of the coffee";

fn carried(size: Vec2) -> Desk {
    let path = example_path("ember-ridge-filter.ron");
    let mut desk = Desk::open(Some(&path), settled_prefs(), size);
    desk.ctrl(Key::R);
    desk
}

fn form(desk: &Desk) -> &CarryForm {
    match &desk.state().view().rework {
        Some(Rework::Carry(form)) => form,
        other => panic!("no carry-over is open: {other:?}"),
    }
}

fn entered(desk: &Desk, number: LotNumber) -> Option<Given> {
    form(desk).to.lot.numbers.entered(number)
}

fn found(desk: &Desk) -> &CarryOver {
    match &desk.state().computed().rework().answer().unwrap().found {
        Found::Carry(found) => found.as_ref().as_ref().unwrap(),
        Found::Shape(_) => panic!("that is a shape"),
    }
}

fn lane_says(desk: &Desk, lane: &str) -> String {
    Desk::spoken(&desk.named(Role::Canvas, lane))
}

fn has(desk: &Desk, role: Role, name: &str) -> bool {
    desk.root().children_recursive().any(|node| {
        let node = node.accesskit_node();
        node.role() == role && node.label().as_deref() == Some(name)
    })
}

#[test]
fn sheets_carried_to_are_edited_without_touching_the_plan_and_say_what_was() {
    let mut desk = carried(TALL);
    let plan = desk.plan();
    assert!(desk.says("Nothing differs yet"));
    assert!(!desk.paints("Was "));
    desk.enter(DENSITY, "780");
    let given = entered(&desk, LotNumber::Density).unwrap();
    assert_eq!((given.value, given.knowledge), (780.0, Knowledge::Measured));
    assert!(desk.paints("Was 724 g/L"));
    desk.enter("Ceiling of the machine", "238");
    assert!(desk.paints(&format!("Was {} °C", plan.machine.ceiling_c)));
    desk.enter("Name of the machine", "Small drum of air");
    assert!(desk.says("Ember Ridge 3, Small drum of air"));
    assert_eq!(desk.steps(), 0);
    assert_eq!(desk.plan(), plan);
    assert_eq!(found(&desk).plan.lot, form(&desk).to.lot);
    desk.key(Key::Escape);
    desk.key(Key::Escape);
    assert!(desk.state().view().rework.is_none(), "Escape leaves");
    assert_eq!(Desk::spoken(&desk.field(DENSITY)), "724");
}

#[test]
fn a_number_that_the_sheet_does_not_take_is_refused_there() {
    let mut desk = carried(TALL);
    desk.enter(DENSITY, "90");
    assert!(desk.paints("90 g/L is out of range"));
    assert_eq!(entered(&desk, LotNumber::Density).unwrap().value, 724.0);
}

#[test]
fn an_altitude_grade_sets_the_altitude_as_estimated() {
    let mut desk = carried(WINDOW);
    desk.click("Altitude grade…");
    assert!(desk.says("sources disagree by up to about 200 m"));
    desk.click("Guatemala, Hard Bean, 1200 to 1400 m");
    let given = entered(&desk, LotNumber::Altitude).unwrap();
    assert_eq!(
        (given.value, given.knowledge),
        (1300.0, Knowledge::Estimated)
    );
    assert!(desk.paints("Was 1960 m"));
    assert!(
        !has(&desk, Role::Button, "Guatemala, Hard Bean, 1200 to 1400 m"),
        "the menu closes"
    );
}

#[test]
fn of_a_coffee_known_by_its_altitude_the_rest_is_estimated_with_its_spread() {
    let mut desk = carried(TALL);
    let dose = desk.plan().lot.numbers.entered(LotNumber::Dose);
    desk.click("Another coffee: altitude only");
    let lot = &form(&desk).to.lot;
    assert_eq!((lot.name.as_str(), lot.process.as_str()), ("", ""));
    let kept: Vec<_> = lot.numbers.all_entered().collect();
    assert_eq!(kept.len(), usize::from(dose.is_some()));
    assert!(!desk.says("Estimated from altitude"));
    desk.enter(ALTITUDE, "1200");
    assert!(desk.says("Estimated from altitude"));
    // 696 g/L at 1,400 m less 60 g/L for each 1,000 m, ± 45 g/L.
    assert!(desk.says("Density: 684 ± 45 g/L"));
    assert_eq!(Desk::spoken(&desk.field(DENSITY)), "684");
    assert_eq!(
        entered(&desk, LotNumber::Density),
        None,
        "nobody entered it"
    );
    desk.enter("Latitude of growth of the coffee", "-20");
    // By hand as in craft::carry: 1,200 m + 476.5 m; density 696 + 60 · 0.2765.
    assert!(desk.says("Counts as, at 12°: 1677 m"));
    assert!(desk.says("Density: 713 ± 45 g/L"));
    desk.enter(DENSITY, "702");
    assert!(desk.says("Density: entered"), "what is measured wins");
    assert!(desk.paints("To narrow the result most, weigh 100 beans"));
    let most = found(&desk).narrowing().unwrap().guess.number;
    assert_eq!(most, LotNumber::ScreenSize, "the density was measured");
}

#[test]
fn sheets_are_taken_from_files() {
    let mut desk = carried(WINDOW);
    desk.chooser.answer(&example_path("low-meadow-dark.ron"));
    desk.click("Coffee from file…");
    desk.run();
    assert_eq!(form(&desk).to.lot.name, "Low Meadow 12");
    assert_eq!(form(&desk).to.machine, desk.plan().machine);
    assert!(desk.says("Low Meadow 12"));
    assert!(has(&desk, Role::Button, "Machine from file…"));
    assert!(has(&desk, Role::Button, "Room from file…"));
    // A coffee that names no dose is carried to in that of the plan.
    let dose = |plan: &Plan| plan.lot.numbers.entered(LotNumber::Dose);
    let arrived = example_path("../lots/ember-ridge-by-altitude.ron");
    desk.chooser.answer(&arrived);
    desk.click("Coffee from file…");
    desk.run();
    assert_eq!(form(&desk).to.lot.name, "Ember Ridge 5");
    assert_eq!(dose(&form(&desk).to), dose(&desk.plan()));
}

#[test]
fn lanes_show_both_plans_and_what_lies_between_them() {
    let mut desk = carried(WINDOW);
    let lane = "Lane of what changes";
    desk.enter(DENSITY, "800");
    let found = found(&desk);
    let end_s = found.after.derived.end_of_roast_s(&found.plan);
    assert!(end_s > 0.0);
    let said = lane_says(&desk, lane);
    assert!(said.starts_with("New minus old: at most +"), "{said}");
    let effort = lane_says(&desk, "Effort lane");
    assert!(effort.contains("; new: heater"), "{effort}");
    for words in ["Old", "New", "New heater", "New air", "New minus old"] {
        assert!(desk.paints(words), "{words}");
    }
    desk.click("Fold the lane of what changes");
    assert!(!has(&desk, Role::Canvas, lane));
    desk.click("Open the lane of what changes");
    assert!(has(&desk, Role::Canvas, lane));
    desk.key(Key::Escape);
    desk.key(Key::Escape);
    assert!(!has(&desk, Role::Canvas, lane));
    assert!(!lane_says(&desk, "Effort lane").contains("new"));
}

#[test]
fn the_readout_says_the_difference_at_the_pointer() {
    let mut desk = carried(WINDOW);
    desk.enter(DENSITY, "800");
    let rect = desk.named(Role::Canvas, "Lane of what changes").rect();
    let frame = *desk.state().lane().unwrap();
    let x = frame.screen_x_from_time(300.0);
    desk.pointer(eframe::egui::pos2(x, rect.center().y));
    desk.run();
    let (old, new) = (desk.plan(), found(&desk).plan.clone());
    let moved_k = new.curve.temp_c(300.0) - old.curve.temp_c(300.0);
    let shown = chaffinch_craft::units::format_temp_shift_with_unit(
        moved_k,
        chaffinch_craft::units::TempUnit::Celsius,
    );
    assert!(desk.paints(&shown), "{shown}");
}

#[test]
fn reworks_have_buttons_in_wide_windows_and_a_menu_in_narrow_ones() {
    let mut desk = Desk::example();
    desk.click("Carry over");
    assert!(matches!(desk.state().view().rework, Some(Rework::Carry(_))));
    desk.click("Shape");
    assert!(matches!(desk.state().view().rework, Some(Rework::Shape(_))));
    let mut desk = Desk::open(None, settled_prefs(), NARROW);
    assert!(!has(&desk, Role::Button, "Carry over"));
    desk.click("Rework");
    desk.click_beginning("Carry over");
    assert!(matches!(desk.state().view().rework, Some(Rework::Carry(_))));
    for tab in ["Sheet: Coffee", "Sheet: Machine", "Sheet: Room"] {
        assert!(has(&desk, Role::Button, tab), "{tab}");
    }
    assert!(!has(&desk, Role::Button, "Sheet: Plans"));
    desk.click("Sheet: Coffee");
    desk.enter(DENSITY, "701");
    assert_eq!(entered(&desk, LotNumber::Density).unwrap().value, 701.0);
    let right = desk.named(Role::Button, "Export…").rect().right();
    let keys = desk.named(Role::Button, "Keys").rect().right();
    assert!(right < keys && keys <= NARROW.x, "{right} {keys}");
}

// ---- rules of practice

/// A notebook with one plan in it, and a window on that.
fn notebook(practice: Option<&str>) -> (tempfile::TempDir, Desk) {
    let folder = tempfile::tempdir().unwrap();
    let plans = folder.path().join("plans");
    fs::create_dir(&plans).unwrap();
    let plan = plans.join("filter.ron");
    fs::copy(example_path("ember-ridge-filter.ron"), &plan).unwrap();
    if let Some(text) = practice {
        fs::write(folder.path().join(PRACTICE_FILE), text).unwrap();
    }
    let mut desk = Desk::open(Some(&plan), settled_prefs(), WINDOW);
    desk.ctrl(Key::P);
    desk.click("Page: Practice");
    (folder, desk)
}

fn kept(folder: &Path) -> PracticeRules {
    read_practice(&folder.join(PRACTICE_FILE)).unwrap()
}

fn drop_rule(per_100_m: f64, most: f64) -> PracticeRules {
    let rules = PracticeRules::default();
    rules
        .with(RuleName::Drop, Rule { per_100_m, most })
        .unwrap()
}

#[test]
fn rules_are_edited_and_kept_in_the_notebook() {
    let (folder, mut desk) = notebook(None);
    assert!(desk.says("no published source"));
    assert!(desk.says(PRACTICE_FILE), "it says where they are kept");
    assert!(
        !folder.path().join(PRACTICE_FILE).exists(),
        "nothing to keep yet"
    );
    desk.enter("Drop: for each 100 m", "-0.3");
    assert_eq!(kept(folder.path()), drop_rule(-0.3, 1.0));
    desk.enter("Drop: at most", "2 °C");
    assert_eq!(kept(folder.path()), drop_rule(-0.3, 2.0));
    assert_eq!(desk.steps(), 0, "the plan has no part in it");
    assert!(!desk.is_modified());
    desk.click("Drop: back to usual");
    assert_eq!(kept(folder.path()), PracticeRules::default());
    desk.enter("Altitude that the rules count from", "1250");
    assert_eq!(kept(folder.path()).reference_m(), 1250.0);
    desk.click("By altitude grade…");
    desk.click("Guatemala, Prime Washed, 800 to 900 m");
    assert_eq!(kept(folder.path()).reference_m(), 850.0);
    desk.click("All as usual");
    assert_eq!(kept(folder.path()), PracticeRules::default());
}

#[test]
fn bad_input_is_refused_with_what_is_expected_in_the_unit_of_the_window() {
    let (folder, mut desk) = notebook(None);
    desk.enter("Drop: for each 100 m", "7");
    assert!(
        desk.refusal().contains("expected at most 1 °C"),
        "{}",
        desk.refusal()
    );
    desk.enter("Rise during drying: at most", "plenty");
    assert!(desk.refusal().contains("plenty"), "{}", desk.refusal());
    desk.enter("Altitude that the rules count from", "9000");
    assert!(desk.refusal().contains("0 to 3500 m"), "{}", desk.refusal());
    desk.ctrl(Key::U);
    desk.enter("First crack: at most", "10");
    // 5 °C are 9 °F.
    assert!(desk.refusal().contains("0 to 9 °F"), "{}", desk.refusal());
    assert!(!folder.path().join(PRACTICE_FILE).exists());
    assert_eq!(
        desk.state().notebook().practice(),
        &PracticeRules::default()
    );
}

#[test]
fn a_table_of_rules_that_cannot_be_read_is_left_alone_and_said() {
    const BROKEN: &str = "practice(version: 1, drop: (per_100_m: many))";
    let (folder, mut desk) = notebook(Some(BROKEN));
    assert!(desk.says("the file is left alone"));
    desk.enter("Drop: for each 100 m", "0.3");
    assert!(
        desk.refusal().contains("for the session only"),
        "{}",
        desk.refusal()
    );
    assert_eq!(desk.state().notebook().practice(), &drop_rule(0.3, 1.0));
    let text = fs::read_to_string(folder.path().join(PRACTICE_FILE)).unwrap();
    assert_eq!(text, BROKEN);
}

#[test]
fn rules_of_a_notebook_change_what_practice_makes_of_a_carry_over() {
    let folder = tempfile::tempdir().unwrap();
    let plan = folder.path().join("filter.ron");
    fs::copy(example_path("ember-ridge-filter.ron"), &plan).unwrap();
    save_practice(&folder.path().join(PRACTICE_FILE), &drop_rule(1.0, 5.0)).unwrap();
    let mut desk = Desk::open(Some(&plan), settled_prefs(), WINDOW);
    desk.ctrl(Key::R);
    desk.enter(ALTITUDE, "1560");
    let practice_k = |desk: &Desk| found(desk).levels.last().unwrap().practice_k;
    // 1,960 m and 1,560 m against 1,400 m: both bounded by 5 °C, so 1.6 − 5 = −3.4 °C.
    assert!(
        (practice_k(&desk) + 3.4).abs() < 0.05,
        "{}",
        practice_k(&desk)
    );
    desk.ctrl(Key::P);
    desk.click("Page: Practice");
    desk.enter("Drop: for each 100 m", "0");
    assert!(practice_k(&desk).abs() < 1e-9, "{}", practice_k(&desk));
}

#[test]
fn without_a_notebook_the_rules_hold_for_the_session() {
    let mut desk = Desk::example();
    desk.ctrl(Key::P);
    desk.click("Page: Practice");
    assert!(desk.says("this session only"));
    desk.enter("Drop: for each 100 m", "0.3");
    assert_eq!(desk.refusal(), "");
    assert_eq!(desk.state().notebook().practice(), &drop_rule(0.3, 1.0));
    desk.hold(Modifiers::NONE);
    let density = NumberName::Lot(LotNumber::Density);
    assert!(
        density.known(&desk.plan()).is_some(),
        "the plan is as before"
    );
}
