//! The ladder of finishes in the outcome column with its forecast, and the roast colours that are recorded there.
//!
//! What is right comes from issue 4, section 3. Expected numbers are read from the model's own lists, not from the window.
#![allow(
    clippy::unwrap_used,
    clippy::missing_assert_message,
    missing_docs,
    reason = "a test may stop at the first surprise; its name says what is checked"
)]

mod desk;

use chaffinch_craft::{ColourSample, Lab, RoastColour, units};
use chaffinch_shelf::{COLOURS_FILE, read_colours, save_plan};
use desk::{Desk, WINDOW, example_path, settled_prefs};
use eframe::egui::{Rect, Shape, Vec2, accesskit::Role};
use egui_kittest::kittest::NodeT;
use std::path::PathBuf;
use tempfile::TempDir;

const NARROW: Vec2 = Vec2::new(1000.0, 800.0);

/// The name of the row of a finish.
fn row_name(finish: &str) -> String {
    format!("Choose finish {finish}")
}

/// What a screen reader says of the row of a finish beside its name.
fn described(desk: &Desk, finish: &str) -> String {
    let row = desk.named(Role::RadioButton, &row_name(finish));
    row.accesskit_node().description().unwrap_or_default()
}

/// Every painted text in `place` and where it stands.
fn painted_in(desk: &Desk, place: Rect) -> Vec<(String, Rect)> {
    fn collect(shape: &Shape, found: &mut Vec<(String, Rect)>) {
        match shape {
            Shape::Text(shape) => {
                let rect = Rect::from_min_size(shape.pos, shape.galley.size());
                found.push((shape.galley.text().to_owned(), rect));
            }
            Shape::Vec(shapes) => {
                for shape in shapes {
                    collect(shape, found);
                }
            }
            _ => {}
        }
    }
    let mut found = Vec::new();
    for clipped in &desk.output().shapes {
        collect(&clipped.shape, &mut found);
    }
    found.retain(|(text, rect)| !text.is_empty() && place.contains(rect.center()));
    found
}

/// Scrolls the row of a finish into view and gives its place.
fn row_rect(desk: &mut Desk, finish: &str) -> Rect {
    let name = row_name(finish);
    desk.named(Role::RadioButton, &name).scroll_to_me();
    desk.run();
    desk.named(Role::RadioButton, &name).rect()
}

/// A notebook of its own with the example plan, in a window.
fn in_notebook() -> (TempDir, PathBuf, Desk) {
    let folder = tempfile::tempdir().unwrap();
    let plans = folder.path().join("plans");
    std::fs::create_dir(&plans).unwrap();
    let plan = Desk::example().plan();
    let path = plans.join("mine.ron");
    save_plan(&plan, &path).unwrap();
    let desk = Desk::open(Some(&path), settled_prefs(), WINDOW);
    let colours = folder.path().join(COLOURS_FILE);
    (folder, colours, desk)
}

#[test]
fn every_finish_tells_its_drop_development_weight_loss_and_colour() {
    let desk = Desk::example();
    let spread = desk.state().computed().spread().unwrap();
    let plan = desk.plan();
    let mut told = 0;
    for (finish, forecast) in plan
        .finishes
        .finishes()
        .iter()
        .zip(&desk.outlook().finishes)
    {
        let said = described(&desk, &finish.name);
        let Some(drop) = forecast.dropped() else {
            continue;
        };
        let band = spread
            .finishes
            .iter()
            .find(|band| band.id == finish.id)
            .unwrap()
            .weight_loss;
        for expected in [
            format!("drop at {}", units::format_time(drop.time_s)),
            format!(
                "development {}",
                units::format_time(drop.development_s.unwrap())
            ),
            format!("weight loss {}", units::format_share(drop.weight_loss)),
            format!(
                "lose {} to {}",
                units::format_share(band.p10),
                units::format_share(band.p90)
            ),
            "± 3 points".to_owned(),
            "no published source".to_owned(),
            "5 more colour readings".to_owned(),
        ] {
            assert!(
                said.contains(&expected),
                "{}: “{expected}” in “{said}”",
                finish.name
            );
        }
        told += 1;
    }
    assert!(2 <= told, "{told} finishes have a forecast");
}

#[test]
fn rows_fit_the_column_in_a_wide_and_in_a_narrow_window() {
    for size in [WINDOW, NARROW] {
        let mut desk = Desk::open(None, settled_prefs(), size);
        let plan = desk.plan();
        for finish in plan.finishes.finishes() {
            let row = row_rect(&mut desk, &finish.name);
            let texts = painted_in(&desk, row);
            assert!(4 <= texts.len(), "{size}: {texts:?}");
            for (at, (text, rect)) in texts.iter().enumerate() {
                assert!(
                    row.expand(1.0).contains_rect(*rect),
                    "{size}: {text} in {row}"
                );
                for (other, beside) in &texts[at + 1..] {
                    let overlap = rect.shrink(0.5).intersect(beside.shrink(0.5));
                    assert!(!overlap.is_positive(), "{size}: {text} over {other}");
                }
            }
            let is_told = texts.iter().any(|(text, _)| text.contains(" · "));
            assert!(is_told, "{size}: no weight loss in {texts:?}");
        }
    }
}

#[test]
fn choosing_a_finish_moves_the_figures_to_its_own() {
    let mut desk = Desk::example();
    let plan = desk.plan();
    let (id, name) = plan
        .finishes
        .finishes()
        .iter()
        .zip(&desk.outlook().finishes)
        .filter(|(finish, forecast)| finish.id != plan.finish().id && forecast.drop.is_ok())
        .map(|(finish, _)| (finish.id, finish.name.clone()))
        .next()
        .unwrap();
    let ladder = desk.outlook().finishes.clone();
    let expected = ladder
        .iter()
        .find(|it| it.id == id)
        .unwrap()
        .dropped()
        .unwrap();
    let before = desk.outlook().foreseen().unwrap().figures.weight_loss;
    desk.click(&row_name(&name));
    assert_eq!(desk.plan().finish().id, id, "chosen");
    let seen = desk.outlook().foreseen().unwrap();
    assert_eq!(seen.figures.weight_loss, expected.weight_loss);
    assert_ne!(seen.figures.weight_loss, before);
    assert_eq!(seen.moments.drop_s, Some(expected.time_s));
    let drop = units::format_time(expected.time_s);
    assert!(
        desk.says(&format!("Drop time, forecast: {drop}")),
        "{:?}",
        desk.words()
    );
    let loss = units::format_share(expected.weight_loss);
    assert!(
        desk.says(&format!("Weight loss: {loss}")),
        "{:?}",
        desk.words()
    );
}

#[test]
fn recorded_colours_are_kept_in_the_notebook_and_make_a_number() {
    let (_folder, file, mut desk) = in_notebook();
    let plan = desk.plan();
    let reached: Vec<(String, f64)> = plan
        .finishes
        .finishes()
        .iter()
        .zip(&desk.outlook().finishes)
        .filter_map(|(finish, forecast)| Some((finish.name.clone(), forecast.dropped()?.dry_loss)))
        .collect();
    let [(light, least), .., (dark, most)] = &reached[..] else {
        panic!("{reached:?}");
    };
    assert!(0.01 < most - least, "far enough apart: {reached:?}");
    desk.click("Record colour…");
    // Dark ones, then light ones, whose finish is picked from the list.
    let mut typed = 0;
    for (finish, lightness) in [
        (light, ["26.1", "25.7", "26.4"]),
        (dark, ["20.2", "19.8", "20.1"]),
    ] {
        desk.named(Role::ComboBox, "Finish of the reading").click();
        desk.run();
        let option = desk.root().children_recursive().find(|node| {
            let node = node.accesskit_node();
            node.role() == Role::Button && node.label().as_deref() == Some(finish.as_str())
        });
        let at = option
            .unwrap_or_else(|| panic!("{:?}", desk.words()))
            .rect()
            .center();
        desk.click_at(at, eframe::egui::Modifiers::NONE);
        for lightness in lightness {
            desk.enter("Colour L*", lightness);
            desk.enter("Colour a*", "9.5");
            desk.enter("Colour b*", "-0.5");
            desk.click("Record");
            typed += 1;
            assert_eq!(
                read_colours(&file).unwrap().all().len(),
                typed,
                "kept at once"
            );
        }
    }
    let kept = read_colours(&file).unwrap();
    let first = &kept.all()[0];
    assert_eq!(first.sample, ColourSample::Ground);
    let (a, b) = (9.5, -0.5);
    let lightness = 26.1;
    assert_eq!(first.colour, RoastColour::Lab(Lab { lightness, a, b }));
    assert_eq!(first.dry_loss, *least, "what the forecast said");
    assert!(
        desk.says("6 readings (L*a*b*, ground) make a number"),
        "{:?}",
        desk.words()
    );
    assert!(desk.says("ΔE*ab off the line"));
    desk.click_in_dialog("Close");
    let said = described(&desk, dark);
    assert!(said.contains("colour L* 20.0 ± "), "{said}");
    assert!(said.contains("6 readings of your own"), "{said}");
    // Two go again: four are too few.
    desk.click("Record colour…");
    desk.click("Remove reading 6");
    desk.click("Remove reading 1");
    assert_eq!(
        read_colours(&file).unwrap().all().len(),
        4,
        "removed from the file"
    );
    assert!(desk.says("One more colour reading"), "{:?}", desk.words());
}

#[test]
fn colour_that_cannot_be_is_refused_with_the_reason() {
    let (_folder, file, mut desk) = in_notebook();
    desk.click("Record colour…");
    desk.click("Scale of the colour: disc");
    for (typed, reason) in [("20", "disc is 20; expected 25 to 95"), ("dark", "disc: ")] {
        desk.enter("Colour disc", typed);
        assert!(desk.says(reason), "{typed}: {:?}", desk.words());
        assert!(
            desk.button("Record").accesskit_node().is_disabled(),
            "{typed}"
        );
    }
    desk.enter("Colour disc", "55");
    desk.enter("Day of the reading", "2026-02-30");
    assert!(desk.says("“2026-02-30” is no day"), "{:?}", desk.words());
    assert!(!file.exists(), "nothing was written");
    desk.enter("Day of the reading", "2026-02-28");
    desk.click("Record");
    let kept = read_colours(&file).unwrap();
    assert_eq!(kept.all()[0].colour, RoastColour::Disc(55.0));
    assert_eq!(kept.all()[0].day.unwrap().to_string(), "2026-02-28");
}

#[test]
fn without_a_forecast_no_colour_is_recorded() {
    let path = example_path("ember-ridge-filter.ron");
    let mut desk = Desk::open(Some(&path), settled_prefs(), WINDOW);
    let count = desk.plan().airflow.points().len();
    for number in 1..=count {
        let name = format!("Airflow point {number} of {count}");
        desk.spin(&name).set_value_accesskit(15.0);
        desk.run();
    }
    assert!(desk.outlook().foreseen().is_none());
    desk.click("Record colour…");
    desk.enter("Colour L*", "24");
    assert!(desk.says("no reading can be kept"), "{:?}", desk.words());
    assert!(desk.button("Record").accesskit_node().is_disabled());
}
