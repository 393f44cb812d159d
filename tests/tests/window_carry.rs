//! Carrying over through the window: what stays the same, layers, how far, marks by hand, accepting and leaving.
//!
//! What is right comes from issue 4, section 1. Numbers are compared with the plan and with the engine's own answer, never with the
//! window itself.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

mod desk;

use chaffinch::desk::{
    rework::{Found, Rework},
    view_state::DrawerPage,
};
use chaffinch_craft::{
    Plan,
    carry::{CarryError, CarryOver, Keep, Layer, LayerSize, Level},
    units::TempUnit,
};
use desk::{Desk, settled_prefs};
use eframe::egui::{Key, Modifiers, Vec2, accesskit::Role};
use egui_kittest::{Node, kittest::NodeT};

const CELSIUS: TempUnit = TempUnit::Celsius;
const SIZES: [Vec2; 3] = [
    Vec2::new(1000.0, 640.0),
    Vec2::new(1280.0, 800.0),
    Vec2::new(1920.0, 1080.0),
];

/// A desk with the example plan and a carry-over open that changes nothing yet. The high window shows the whole panel.
fn begun() -> Desk {
    let mut desk = Desk::open(None, settled_prefs(), SIZES[2]);
    desk.ctrl(Key::R);
    desk
}

/// The same, to a coffee that is softer and grew lower than the example's 1,960 m.
fn to_lower() -> Desk {
    let mut desk = begun();
    desk.enter("Altitude of growth of the coffee", "1100");
    desk.enter("Density of the coffee", "670");
    desk
}

fn answer(desk: &Desk) -> &Result<CarryOver, CarryError> {
    match &desk.state().computed().rework().answer().unwrap().found {
        Found::Carry(found) => found,
        Found::Shape(_) => panic!("this is no carry-over"),
    }
}

fn carried(desk: &Desk) -> &CarryOver {
    answer(desk).as_ref().unwrap()
}

fn is_open(desk: &Desk) -> bool {
    matches!(desk.state().view().rework, Some(Rework::Carry(_)))
}

fn keep(desk: &Desk) -> Keep {
    match &desk.state().view().rework {
        Some(Rework::Carry(form)) => form.keep,
        _ => panic!("no carry-over is open"),
    }
}

fn checkbox<'a>(desk: &'a Desk, layer: &str) -> Node<'a> {
    desk.named(Role::CheckBox, &format!("Layer: {layer}"))
}

fn switch(desk: &mut Desk, layer: &str) {
    let node = checkbox(desk, layer);
    node.scroll_to_me();
    desk.run();
    let at = checkbox(desk, layer).rect().center();
    desk.click_at(at, Modifiers::NONE);
}

/// What the window says of a layer's size.
fn says_size(desk: &Desk, layer: &str, size: LayerSize) -> bool {
    desk.says(&format!(
        "Size of {layer}: {}, {}",
        size.temp_text(CELSIUS),
        size.rise_text(CELSIUS)
    ))
}

fn first_crack_before(plan: &Plan) -> f64 {
    plan.marks.first_crack_c
}

#[test]
fn opening_changes_nothing_and_says_what_to_do() {
    let desk = begun();
    assert!(is_open(&desk));
    assert_eq!(desk.steps(), 0);
    assert!(desk.says("say on the left what it is carried to"));
    assert_eq!(carried(&desk).plan.curve, desk.plan().curve, "same sheets");
    assert!(says_size(&desk, "Physics", LayerSize::default()));
}

#[test]
fn head_says_from_what_to_what() {
    let mut desk = to_lower();
    assert!(desk.says("Coffee: Ember Ridge 3, other numbers"));
    desk.enter("Name of the coffee", "Low Meadow 12");
    assert!(desk.says("Coffee: Ember Ridge 3 → Low Meadow 12"));
    assert!(!desk.says("Machine: Bench"), "the machine stays");
}

#[test]
fn each_keep_is_chosen_with_its_sentence_and_makes_its_own_curve() {
    let mut desk = to_lower();
    let mut curves = Vec::new();
    for choice in [
        Keep::SurfaceToCore,
        Keep::PhaseClock,
        Keep::BrowningWork,
        Keep::CoreHistory,
    ] {
        desk.click(&format!("Keep: {}", choice.label()));
        assert_eq!(keep(&desk), choice);
        assert_eq!(carried(&desk).keep, choice);
        // The sentence of the chosen one is on the screen; all are told to a screen reader.
        assert!(desk.paints(choice.sentence()), "{choice:?}");
        curves.push(carried(&desk).layer_size(Layer::Physics));
    }
    for (index, curve) in curves.iter().enumerate() {
        assert!(!curves[..index].contains(curve), "{index}: {curves:?}");
    }
    // The kept clock leaves the curve to the heater alone.
    assert_eq!(curves[1], LayerSize::default());
    for choice in Keep::ALL {
        let name = format!("Keep: {}", choice.label());
        let node = desk.button(&name);
        let told = node.accesskit_node().description().unwrap();
        assert!(told.contains(choice.sentence()), "{told}");
        assert!(told.contains("Picture: "), "{told}");
    }
}

#[test]
fn a_layer_switched_off_has_no_size_and_the_other_keeps_its_own() {
    let mut desk = to_lower();
    let [physics, practice] =
        [Layer::Physics, Layer::Practice].map(|layer| carried(&desk).layer_size(layer));
    assert_ne!(physics, LayerSize::default());
    assert_ne!(practice, LayerSize::default());
    assert!(says_size(&desk, "Physics", physics));
    assert!(says_size(&desk, "Practice", practice));
    switch(&mut desk, "Physics");
    assert!(!carried(&desk).physics);
    assert!(says_size(&desk, "Physics", LayerSize::default()));
    assert_ne!(
        carried(&desk).layer_size(Layer::Practice),
        LayerSize::default()
    );
    switch(&mut desk, "Practice");
    assert!(says_size(&desk, "Practice", LayerSize::default()));
    assert_eq!(
        carried(&desk).plan.curve,
        desk.plan().curve,
        "nothing is left"
    );
    switch(&mut desk, "Physics");
    switch(&mut desk, "Practice");
    assert!(says_size(&desk, "Physics", physics), "as before");
    assert!(says_size(&desk, "Practice", practice), "as before");
}

#[test]
fn your_roasts_are_off_and_say_how_many_are_missing() {
    let desk = to_lower();
    assert!(
        checkbox(&desk, "Your roasts")
            .accesskit_node()
            .is_disabled()
    );
    assert!(desk.says("5 more liked roasts"));
}

#[test]
fn nothing_of_the_change_at_0_percent_and_half_of_it_at_50() {
    let mut desk = to_lower();
    let whole: Vec<f64> = shifts(&desk);
    assert!(whole.iter().any(|shift| 0.5 < shift.abs()), "{whole:?}");
    desk.enter("How far in per cent", "50 %");
    for (half, whole) in shifts(&desk).iter().zip(&whole) {
        assert!((2.0 * half - whole).abs() < 1e-6, "{half} of {whole}");
    }
    assert!(desk.says("Together at 50 %"));
    desk.enter("How far in per cent", "0");
    assert_eq!(carried(&desk).plan.curve, desk.plan().curve);
    assert_eq!(carried(&desk).plan.marks, desk.plan().marks);
    assert_eq!(carried(&desk).plan.airflow, desk.plan().airflow);
}

fn shifts(desk: &Desk) -> Vec<f64> {
    let points = carried(desk).points.iter();
    points.map(|point| point.total.temp_k).collect()
}

#[test]
fn slider_is_moved_by_keys_and_by_a_screen_reader_and_never_the_curve() {
    let mut desk = to_lower();
    let places = desk.places();
    let slider = |desk: &Desk| {
        desk.named(Role::Slider, "How far")
            .accesskit_node()
            .numeric_value()
    };
    assert_eq!(slider(&desk), Some(100.0));
    desk.named(Role::Slider, "How far").focus();
    desk.run();
    desk.key(Key::ArrowLeft);
    assert_eq!(slider(&desk), Some(99.0));
    assert_eq!(carried(&desk).percent, 99.0);
    desk.named(Role::Slider, "How far")
        .set_value_accesskit(40.0);
    desk.run();
    assert_eq!(carried(&desk).percent, 40.0);
    assert_eq!(Desk::spoken(&desk.field("How far in per cent")), "40");
    assert_eq!(desk.places(), places);
    assert_eq!(desk.steps(), 0);
}

#[test]
fn a_share_outside_0_to_100_is_refused_in_place() {
    let mut desk = to_lower();
    desk.enter("How far in per cent", "140");
    assert!(desk.says("expected 0 to 100 %"));
    assert_eq!(carried(&desk).percent, 100.0);
}

#[test]
fn accepting_is_one_step_with_a_note_of_origin_and_undo_takes_it_back() {
    let mut desk = to_lower();
    let before = desk.plan();
    let wished = carried(&desk).plan.clone();
    desk.click("Accept");
    assert!(!is_open(&desk));
    assert_eq!(desk.steps(), 1);
    assert_eq!(desk.last_step(), "Carried over");
    assert_eq!(*desk.plan(), wished);
    assert!(
        desk.plan().notes.contains("Carried over from “Ember"),
        "{}",
        desk.plan().notes
    );
    desk.ctrl(Key::Z);
    assert_eq!(*desk.plan(), *before);
    assert_eq!(desk.steps(), 0);
}

#[test]
fn escape_and_the_button_leave_without_a_trace() {
    let mut desk = to_lower();
    let before = desk.plan();
    desk.key(Key::Escape);
    assert!(!is_open(&desk));
    desk.ctrl(Key::R);
    assert!(is_open(&desk));
    assert!(desk.says("say on the left"), "it begins anew");
    desk.click("Leave");
    assert!(!is_open(&desk));
    assert_eq!(*desk.plan(), *before);
    assert_eq!(desk.steps(), 0);
    assert_eq!(desk.plan().notes, before.notes);
}

#[test]
fn a_mark_typed_by_hand_stays_whatever_the_layers_say_until_it_is_given_back() {
    let mut desk = to_lower();
    let first_crack = |desk: &Desk| carried(desk).plan.marks.first_crack_c;
    let by_layers = first_crack(&desk);
    let typed = by_layers + 1.5;
    desk.enter("First crack after", &format!("{typed}"));
    assert_eq!(first_crack(&desk), typed);
    assert!(desk.says("set by hand"));
    switch(&mut desk, "Practice");
    assert_eq!(first_crack(&desk), typed);
    switch(&mut desk, "Practice");
    desk.click("Leave First crack to the layers");
    assert_eq!(first_crack(&desk), by_layers);
    assert!(!desk.says("set by hand"));
}

#[test]
fn a_mark_that_the_plan_cant_have_is_refused_in_place() {
    let mut desk = to_lower();
    let before = carried(&desk).plan.marks;
    desk.enter("First crack after", "90");
    assert_eq!(carried(&desk).plan.marks, before);
    assert_eq!(Desk::spoken(&desk.field("First crack after")), "90", "kept");
    desk.enter("First crack after", "hot");
    assert_eq!(carried(&desk).plan.marks, before);
    assert!(desk.says("hot"));
}

#[test]
fn marks_and_finishes_stand_before_and_after_with_their_layers() {
    let desk = to_lower();
    let carried = carried(&desk);
    let moved = carried
        .levels
        .iter()
        .any(|level| 0.05 < (level.after_c - level.before_c).abs());
    assert!(moved, "{:?}", carried.levels);
    let before = format!("{}", first_crack_before(&desk.plan()));
    assert!(desk.says(&format!("First crack before: {before} °C")));
    for level in &carried.levels {
        if let Level::Finish(id) = level.level {
            let name = format!(
                "Finish {} after",
                carried.plan.finishes.get(id).unwrap().name
            );
            desk.field(&name);
        }
    }
}

#[test]
fn figures_stand_before_beside_after() {
    let desk = to_lower();
    let carried = carried(&desk);
    let plan = desk.plan();
    let drawn = carried.drawn_figures(&plan, CELSIUS);
    let forecast = carried.forecast_figures(&plan);
    let names: Vec<&str> = drawn.iter().chain(&forecast).map(|row| row.name).collect();
    assert_eq!(
        names,
        [
            "Drying",
            "Browning",
            "Development",
            "Whole roast",
            "Drop",
            "Heater, most",
            "Heater, underway",
            "At its limit",
            "Air, least",
            "Lift, least",
            "Energy",
            "Weight loss",
        ]
    );
    for row in drawn.iter().chain(&forecast) {
        assert!(desk.says(&row.spoken()), "{}", row.spoken());
    }
    // Read from both forecasts, not from the table.
    let efforts = [&carried.before, &carried.after].map(|picture| {
        picture
            .outlook
            .foreseen()
            .unwrap()
            .figures
            .greatest_effort
            .value
    });
    assert!(desk.says(&format!(
        "Heater, most: {:.1} % before, {:.1} % after",
        100.0 * efforts[0],
        100.0 * efforts[1]
    )));
    // A softer coffee carried with the same core takes no more heat once it is under way.
    let underway = forecast
        .iter()
        .find(|row| row.name == "Heater, underway")
        .unwrap();
    assert!(underway.numbers[2].starts_with('−'), "{underway:?}");
}

#[test]
fn every_line_of_the_reasons_is_on_the_panel_once() {
    let desk = to_lower();
    let carried = carried(&desk);
    let lines = carried.lines(CELSIUS);
    assert!(lines.iter().any(|line| line.starts_with("Less dense")));
    for line in &lines {
        // The sentence of the layer stands in its own card as well.
        let count = desk.words().iter().filter(|word| *word == line).count();
        let most = if *line == carried.your_roasts.sentence() {
            2
        } else {
            1
        };
        assert!((1..=most).contains(&count), "{count} times: {line}");
    }
    assert!(desk.says("takes the place of no careful first roast"));
    assert!(desk.says("not a safety device"));
}

/// Whether all cautions of the answer stand above everything else that scrolls; there must be one with this heading.
fn warns_at_the_top(desk: &Desk, heading: &str) {
    let cautions = carried(desk).cautions(CELSIUS);
    let headings: Vec<&str> = cautions.iter().map(|caution| caution.heading).collect();
    assert!(headings.contains(&heading), "{headings:?}");
    // What is only read carries its words as its value.
    let bottom = |words: &str| {
        let mut nodes = desk.root().children_recursive();
        let node = nodes.find(|node| node.value().as_deref() == Some(words));
        node.unwrap_or_else(|| panic!("nothing says “{words}”"))
            .rect()
            .bottom()
    };
    let cards = desk.button("Keep: Core history").rect().top();
    for caution in cautions {
        assert!(bottom(&format!("Caution: {}", caution.heading)) < cards);
        assert!(bottom(&caution.text) < cards);
    }
}

#[test]
fn mains_that_dont_fit_the_rating_plate_stand_at_the_top() {
    let mut desk = to_lower();
    assert!(
        !desk.says("Caution: "),
        "{:?}",
        carried(&desk).cautions(CELSIUS)
    );
    desk.enter("Rated voltage of the machine", "120");
    warns_at_the_top(&desk, "Mains and rating plate differ");
}

#[test]
fn what_the_machine_cant_deliver_stands_at_the_top() {
    let mut desk = to_lower();
    desk.click("Keep: Phase clock");
    assert!(
        !desk.says("Caution: "),
        "{:?}",
        carried(&desk).cautions(CELSIUS)
    );
    desk.enter("Heater power of the machine", "700");
    warns_at_the_top(&desk, "Not delivered as before");
}

#[test]
fn a_roast_that_cant_be_foreseen_is_said_with_what_to_do() {
    let mut desk = to_lower();
    desk.enter("Fan flow of the machine", "1");
    assert!(
        matches!(answer(&desk), Err(CarryError::NoForecast { .. })),
        "{:?}",
        answer(&desk).as_ref().err()
    );
    assert!(desk.says("Stop: It can't be carried over"));
    assert!(desk.says("Nothing can be foreseen of the roast to carry over to"));
    assert!(desk.says("on the left"));
    assert!(desk.button("Accept").accesskit_node().is_disabled());
    assert!(is_open(&desk));
}

#[test]
fn rules_of_practice_open_in_the_drawer() {
    let mut desk = to_lower();
    desk.click("Edit rules…");
    assert!(desk.state().view().drawer_open);
    assert_eq!(desk.state().view().drawer_page, DrawerPage::Practice);
    assert!(is_open(&desk));
}

#[test]
fn temperatures_follow_the_unit() {
    let mut desk = to_lower();
    desk.click("Units: °F");
    let size = carried(&desk).layer_size(Layer::Physics);
    let words = size.temp_text(TempUnit::Fahrenheit);
    assert!(words.ends_with("°F"), "{words}");
    assert!(desk.says(&format!("Size of Physics: {words}")));
}

#[test]
fn panel_keeps_within_its_column_at_every_size_and_the_buttons_stay_in_sight() {
    for size in SIZES {
        let mut desk = Desk::open(None, settled_prefs(), size);
        desk.ctrl(Key::R);
        let root = desk.root();
        let beyond: Vec<String> = root
            .children_recursive()
            .filter(|node| {
                let role = node.accesskit_node().role();
                matches!(
                    role,
                    Role::Button
                        | Role::RadioButton
                        | Role::Slider
                        | Role::CheckBox
                        | Role::TextInput
                )
            })
            .filter(|node| size.x < node.rect().right())
            .filter_map(|node| node.accesskit_node().label())
            .collect();
        assert_eq!(beyond, Vec::<String>::new(), "{size}");
        // The head doesn't scroll with the cards.
        let accept = |desk: &Desk| desk.button("Accept").rect();
        let before = accept(&desk);
        let slider = desk.named(Role::Slider, "How far");
        slider.scroll_to_me();
        desk.run();
        assert_eq!(accept(&desk), before, "{size}");
        let slider = desk.named(Role::Slider, "How far").rect();
        assert!(
            slider.bottom() < size.y && before.bottom() < slider.top(),
            "{size}"
        );
    }
}

#[test]
fn keyboard_alone_gets_through_the_panel() {
    let mut desk = to_lower();
    desk.tab_to("Keep: Phase clock");
    desk.key(Key::Space);
    assert_eq!(keep(&desk), Keep::PhaseClock);
    desk.tab_to("Layer: Practice");
    desk.key(Key::Space);
    assert_eq!(
        carried(&desk).layer_size(Layer::Practice),
        LayerSize::default()
    );
    desk.tab_to("Accept");
    desk.key(Key::Enter);
    assert!(!is_open(&desk));
    assert_eq!(desk.steps(), 1);
}

#[test]
fn slider_follows_the_pointer_and_the_figures_follow_the_slider() {
    let mut desk = to_lower();
    let rect = desk.named(Role::Slider, "How far").rect();
    desk.drag(rect.right_center(), rect.center());
    let percent = carried(&desk).percent;
    assert!((40.0..=60.0).contains(&percent), "{percent}");
    assert_eq!(percent, percent.round(), "whole steps");
    assert!(desk.says(&format!("Together at {percent} %")));
    let energy = &carried(&desk).forecast_figures(&desk.plan())[6];
    assert!(desk.says(&energy.spoken()), "{}", energy.spoken());
    assert_eq!(desk.steps(), 0);
}

#[test]
fn a_low_window_folds_what_is_needed_less_and_says_it_in_one_line() {
    let mut desk = Desk::open(None, settled_prefs(), SIZES[0]);
    desk.ctrl(Key::R);
    assert!(!desk.says("Keep: Phase clock"));
    assert!(desk.paints("Core history"));
    desk.click("What stays the same");
    desk.click("Keep: Phase clock");
    assert_eq!(keep(&desk), Keep::PhaseClock);
    desk.click("What stays the same");
    assert!(!desk.says("Keep: Phase clock"));
    assert!(desk.paints("Phase clock"));
}
