//! The sheets of the left column: numbers typed and cleared, how they are known, parts that fold, the empty run.
//!
//! What is right comes from `window.md` ("Sheets") and from the edits that reach the plan; conversions are named where used.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

mod desk;

use chaffinch_craft::{
    Given, Knowledge, LotNumber, MachineNumber, Plan, RoomNumber, SheetNumber, VariationNumber,
};
use desk::{Desk, WINDOW, settled_prefs};
use eframe::egui::{Key, Modifiers, Rect, Shape, Vec2, accesskit::Role};
use egui_kittest::kittest::NodeT;

/// High enough for all sheets with all their parts open.
const TALL: Vec2 = Vec2::new(1280.0, 2400.0);
const NARROW: Vec2 = Vec2::new(1000.0, 640.0);

const POWER: &str = "Heater power of the machine";
const MORE: &str = "More of the machine";

/// A plan whose sheets nobody has filled in.
fn blank(size: Vec2) -> Desk {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("blank.ron");
    chaffinch_shelf::save_plan(&Plan::fresh(), &path).unwrap();
    Desk::open(Some(&path), settled_prefs(), size)
}

fn machine(desk: &Desk, number: MachineNumber) -> Option<Given> {
    desk.plan().machine.numbers.entered(number)
}

fn measured(value: f64) -> Given {
    Given {
        value,
        knowledge: Knowledge::Measured,
    }
}

fn has(desk: &Desk, role: Role, name: &str) -> bool {
    desk.root().children_recursive().any(|node| {
        let node = node.accesskit_node();
        node.role() == role && node.label().as_deref() == Some(name)
    })
}

fn has_field(desk: &Desk, name: &str) -> bool {
    has(desk, Role::TextInput, name)
}

fn empty_run_s(desk: &Desk) -> f64 {
    desk.state().computed().outlook().empty_run_s.unwrap()
}

#[test]
fn a_typed_number_is_measured_and_an_emptied_field_goes_back_to_the_usual_one() {
    let mut desk = blank(TALL);
    assert_eq!(Desk::spoken(&desk.field(POWER)), "1600");
    desk.button("Heater power: assumed");
    desk.enter(POWER, "1500 W");
    assert_eq!(
        machine(&desk, MachineNumber::HeaterPower),
        Some(measured(1500.0))
    );
    assert_eq!(desk.last_step(), "Changed heater power of the machine");
    desk.button("Heater power: measured");
    desk.enter(POWER, "");
    assert_eq!(machine(&desk, MachineNumber::HeaterPower), None);
    assert_eq!(Desk::spoken(&desk.field(POWER)), "1600");
    desk.ctrl(Key::Z);
    assert_eq!(
        machine(&desk, MachineNumber::HeaterPower),
        Some(measured(1500.0))
    );
}

#[test]
fn numbers_of_every_sheet_reach_the_plan() {
    let mut desk = blank(TALL);
    desk.enter("Dose of the coffee", "180 g");
    desk.enter("Weight of 100 beans of the coffee", "14.2");
    desk.enter("Mains voltage of the room", "221");
    desk.click("Everyday variation");
    desk.enter("Spread of the dose", "3.5");
    let plan = desk.plan();
    assert_eq!(
        plan.lot.numbers.entered(LotNumber::Dose),
        Some(measured(180.0))
    );
    assert_eq!(
        plan.lot.numbers.entered(LotNumber::HundredBeans),
        Some(measured(14.2))
    );
    assert_eq!(
        plan.room.numbers.entered(RoomNumber::Mains),
        Some(measured(221.0))
    );
    assert_eq!(
        plan.variation.entered(VariationNumber::Dose),
        Some(measured(3.5))
    );
    assert_eq!(desk.steps(), 4);
}

#[test]
fn typing_the_usual_value_says_that_it_is_right() {
    let mut desk = blank(TALL);
    desk.enter("Rated voltage of the machine", "230");
    assert_eq!(
        machine(&desk, MachineNumber::RatedVoltage),
        Some(measured(230.0))
    );
    // Going through a field, or typing what it holds already, is no step.
    desk.enter("Rated voltage of the machine", "230");
    desk.field(POWER).focus();
    desk.run();
    desk.key(Key::Tab);
    desk.key(Key::Tab);
    assert_eq!(desk.steps(), 1);
}

#[test]
fn a_number_out_of_range_is_refused_with_its_range() {
    let mut desk = blank(TALL);
    desk.enter(POWER, "50");
    assert_eq!(machine(&desk, MachineNumber::HeaterPower), None);
    assert_eq!(
        Desk::spoken(&desk.field(POWER)),
        "50",
        "the typed text stays"
    );
    assert!(desk.paints("50 W is out of range; expected 100 to 20000 W"));
    desk.ctrl(Key::U);
    desk.enter("Preheat of the machine", "600");
    let refusals: Vec<String> = (painted(&desk).into_iter())
        .map(|(words, _)| words)
        .filter(|words| words.contains("expected"))
        .collect();
    assert_eq!(
        refusals.last().map(String::as_str),
        Some("600 °F is out of range; expected 68 to 572 °F"),
        "{refusals:?}"
    );
}

#[test]
fn the_badge_says_how_a_number_is_known_and_takes_it_back() {
    let mut desk = blank(TALL);
    desk.click("Heater power: assumed");
    desk.click_beginning("estimated:");
    let estimated = Given {
        value: 1600.0,
        knowledge: Knowledge::Estimated,
    };
    assert_eq!(machine(&desk, MachineNumber::HeaterPower), Some(estimated));
    desk.click("Heater power: estimated");
    desk.click_beginning("Nobody knows: take the usual 1600 W");
    assert_eq!(machine(&desk, MachineNumber::HeaterPower), None);
}

/// From memory: 180 °C = 356 °F, 20 °C = 68 °F; a difference of 5 °C is one of 9 °F.
#[test]
fn temperatures_of_the_sheets_are_in_the_unit_of_the_window() {
    let mut desk = blank(TALL);
    desk.click(MORE);
    desk.ctrl(Key::U);
    assert_eq!(
        Desk::spoken(&desk.field("Air temperature of the room")),
        "68"
    );
    desk.enter("Preheat of the machine", "356");
    assert_eq!(
        machine(&desk, MachineNumber::Preheat),
        Some(measured(180.0))
    );
    desk.enter("Probe offset of the machine", "-9");
    assert_eq!(
        machine(&desk, MachineNumber::ProbeOffset),
        Some(measured(-5.0))
    );
    assert_eq!(
        Desk::spoken(&desk.field("Probe offset of the machine")),
        "−9"
    );
    desk.ctrl(Key::U);
    assert_eq!(Desk::spoken(&desk.field("Preheat of the machine")), "180");
    assert_eq!(
        Desk::spoken(&desk.field("Probe offset of the machine")),
        "−5"
    );
}

#[test]
fn parts_that_few_need_open_on_demand_and_stay_open() {
    let mut desk = blank(TALL);
    for (part, field) in [
        (MORE, "Fan curve of the machine"),
        ("More of the coffee", "Drying factor of the coffee"),
        ("Everyday variation", "Spread of the moisture"),
    ] {
        assert!(!has_field(&desk, field), "{field}");
        desk.click(part);
        assert!(has_field(&desk, field), "{field}");
    }
    desk.click("Machine");
    assert!(!has_field(&desk, POWER));
    desk.click("Machine");
    assert!(has_field(&desk, "Fan curve of the machine"));
    desk.click(MORE);
    assert!(!has_field(&desk, "Fan curve of the machine"));
}

#[test]
fn the_keyboard_reaches_number_badge_and_fold() {
    let mut desk = blank(TALL);
    desk.field(POWER).focus();
    desk.run();
    desk.key(Key::Tab);
    assert_eq!(desk.focused(), "Heater power: assumed");
    desk.tab_to(MORE);
    desk.key(Key::Space);
    assert!(has_field(&desk, "Fan curve of the machine"));
}

#[test]
fn feed_forward_is_chosen_and_undone() {
    let mut desk = blank(TALL);
    let chosen = |desk: &Desk| format!("{:?}", desk.plan().machine.feed_forward);
    desk.click(MORE);
    desk.click("Feed-forward: On");
    assert_eq!(chosen(&desk), "AirToSetpoint");
    assert_eq!(desk.last_step(), "Changed the machine's controller");
    desk.ctrl(Key::Z);
    assert_eq!(chosen(&desk), "None");
}

#[test]
fn the_empty_run_follows_the_sheets_and_the_unit() {
    let mut desk = blank(TALL);
    let usual_s = empty_run_s(&desk);
    assert!(desk.says(&format!("Empty run to 90 °C: {usual_s:.0} s")));
    assert!(desk.says("Never leave it unattended"));
    desk.enter("Mains voltage of the room", "200");
    let low_s = empty_run_s(&desk);
    assert!(
        usual_s + 1.0 < low_s,
        "low mains: {low_s} s, else {usual_s} s"
    );
    assert!(desk.says(&format!("Empty run to 90 °C: {low_s:.0} s")));
    desk.ctrl(Key::U);
    assert!(desk.says(&format!("Empty run to 194 °F: {low_s:.0} s")));
    // A tenth of the power doesn't warm so much air.
    desk.enter(POWER, "160");
    assert!(desk.says("Empty run to 194 °F: not in 5 min"));
}

#[test]
fn a_machine_that_nobody_described_says_so_until_the_first_number() {
    let mut desk = blank(TALL);
    let line = "Every number here is assumed";
    let all = MachineNumber::ALL.len() - 1; // the preheat has no usual value
    assert!(desk.says(line));
    assert!(desk.says(&format!("all {all} assumed")));
    desk.enter(POWER, "1500");
    assert!(!desk.says(line));
    assert!(desk.says(&format!("{} of {all} assumed", all - 1)));
    desk.click("Machine");
    assert!(
        desk.says(&format!("{} of {all} assumed", all - 1)),
        "folded, too"
    );
}

#[test]
fn the_ceiling_keeps_below_what_burns() {
    let mut desk = blank(TALL);
    desk.enter("Ceiling of the machine", "261");
    assert_eq!(desk.plan().machine.ceiling_c, 250.0);
    assert!(desk.paints("expected 100 to 260 °C"));
    let node = desk.field("Ceiling of the machine");
    let told = node.accesskit_node().description().unwrap_or_default();
    assert!(told.contains("can't be switched off"), "{told}");
}

#[test]
fn the_machine_sheet_is_open_at_first_where_there_is_room() {
    let desk = blank(WINDOW);
    assert!(has_field(&desk, "Dose of the coffee"));
    assert!(!has_field(&desk, POWER), "1280 × 800");
    assert!(has_field(&desk, "Mains voltage of the room"));
    let high = blank(Vec2::new(1280.0, 1040.0));
    assert!(has_field(&high, POWER), "1280 × 1040");
    assert!(has_field(&high, "Mains voltage of the room"));
}

#[test]
fn in_a_narrow_window_the_rail_opens_the_sheet_that_was_asked_for() {
    let mut desk = blank(NARROW);
    assert!(!has_field(&desk, POWER));
    desk.click("Sheet: Machine");
    let field = desk.field(POWER).rect();
    assert!(field.min.y < NARROW.y && 0.0 < field.min.y, "{field:?}");
    desk.click("Sheet: Room");
    let field = desk.field("Mains voltage of the room").rect();
    assert!(field.max.y < NARROW.y && 0.0 < field.min.y, "{field:?}");
    desk.click("Sheet: Room");
    assert!(!has_field(&desk, POWER));
}

/// Text of the last frame with its place.
fn painted(desk: &Desk) -> Vec<(String, Rect)> {
    fn collect(shape: &Shape, found: &mut Vec<(String, Rect)>) {
        match shape {
            Shape::Text(text) => {
                let words = text.galley.text().to_owned();
                found.push((words, text.visual_bounding_rect()));
            }
            Shape::Vec(shapes) => shapes.iter().for_each(|shape| collect(shape, found)),
            _ => {}
        }
    }
    let mut found = Vec::new();
    for clipped in &desk.output().shapes {
        collect(&clipped.shape, &mut found);
    }
    found
}

/// No label runs into its field and no unit into its badge, in either unit.
#[test]
fn labels_fields_units_and_badges_keep_clear_of_each_other() {
    let mut desk = blank(TALL);
    for part in [MORE, "More of the coffee", "Everyday variation"] {
        desk.click(part);
    }
    // Away from everything that explains itself under the pointer.
    desk.click_at(eframe::egui::pos2(700.0, 14.0), Modifiers::NONE);
    for _unit in 0..2 {
        desk.ctrl(Key::U);
        let words = painted(&desk);
        let nodes: Vec<(String, Rect)> = desk
            .root()
            .children_recursive()
            .filter(|node| {
                let node = node.accesskit_node();
                let is_badge = node.label().is_some_and(|label| {
                    label.ends_with(": assumed") || label.ends_with(": measured")
                });
                node.role() == Role::TextInput || is_badge
            })
            .map(|node| {
                (
                    node.accesskit_node().label().unwrap_or_default(),
                    node.rect(),
                )
            })
            .filter(|(_, rect)| rect.right() < 248.0)
            .collect();
        assert!(nodes.len() > 70, "{} fields and badges", nodes.len());
        let mut clashes = Vec::new();
        for (name, rect) in &nodes {
            for (text, place) in &words {
                let is_beside = rect.y_range().contains(place.center().y);
                let is_inside = rect.expand(0.5).contains_rect(*place);
                let overlap = place.right().min(rect.right()) - place.left().max(rect.left());
                if is_beside && !is_inside && 0.5 < overlap {
                    clashes.push(format!("“{text}” and {name}: {overlap}"));
                }
            }
        }
        assert_eq!(clashes, Vec::<String>::new());
    }
}
