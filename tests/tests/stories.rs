//! The three stories of `examples/stories`: every number in them comes from the engine, and this holds them to it.
//!
//! Text between `<!-- engine: NAME -->` and `<!-- end -->` is compared with what the engine says, and so are the carried plans and
//! their reports. `UPDATE_STORIES=1` writes them anew. There is no outside reference for invented coffees; the engine's own checks
//! stand in `crates/craft/tests/carry_physics.rs`.
#![allow(
    clippy::unwrap_used,
    missing_docs,
    reason = "a test may stop at the first surprise; the names say what is checked"
)]

use chaffinch_craft::{
    Edit, LotNumber, Plan, PlanParts, Severity, all_findings,
    carry::{CarryOver, CarryRequest, Picture, Target, carry, carry_text, thumb_table},
    units::{
        TempUnit, format_number, format_share, format_temp_shift_with_unit, format_temp_with_unit,
        format_time,
    },
};
use chaffinch_shelf::{open, plan_to_ron, read_lot, read_machine, read_practice, read_room};
use std::{
    env,
    fmt::Write,
    fs,
    path::{Path, PathBuf},
    sync::atomic::AtomicBool,
};

const C: TempUnit = TempUnit::Celsius;
/// Where the plans' notebook lies.
const NOTEBOOK: &str = "examples/notebook";
/// Moments, in s, that the short tables tell of.
const MOMENTS_S: [f64; 3] = [60.0, 240.0, 420.0];

/// One carry-over that is told.
struct Story {
    /// Its folder in `examples/stories`.
    folder: &'static str,
    /// What the table in the README calls it.
    title: &'static str,
    /// Title of the new plan.
    plan: &'static str,
    from: &'static str,
    to: Option<&'static str>,
    machine: Option<&'static str>,
    room: Option<&'static str>,
}

const STORIES: [Story; 3] = [
    Story {
        folder: "by-altitude-alone",
        title: "By altitude alone",
        plan: "Ember Ridge 5, espresso, by altitude",
        from: "examples/notebook/plans/low-meadow-espresso.ron",
        to: Some("examples/notebook/lots/ember-ridge-by-altitude.ron"),
        machine: None,
        room: None,
    },
    Story {
        folder: "measured",
        title: "The same, measured",
        plan: "Ember Ridge 5, espresso, measured",
        from: "examples/notebook/plans/low-meadow-espresso.ron",
        to: Some("examples/notebook/lots/ember-ridge-measured.ron"),
        machine: None,
        room: None,
    },
    Story {
        folder: "up-the-mountain",
        title: "Up the mountain",
        plan: "Ember Ridge 3, filter, up the mountain",
        from: "examples/stories/up-the-mountain/kitchen.ron",
        to: Some("examples/notebook/lots/ember-ridge-small-batch.ron"),
        machine: Some("examples/notebook/machines/small-120-v.ron"),
        room: Some("examples/notebook/rooms/upland-room.ron"),
    },
];

fn top() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("..")
        .canonicalize()
        .unwrap()
}

fn updates() -> bool {
    env::var("UPDATE_STORIES").is_ok_and(|value| value == "1")
}

/// A story with what came of it.
struct Told {
    story: &'static Story,
    from: Plan,
    carried: CarryOver,
}

/// As `chaffinch carry` does it with the arguments that the story shows; `crates/app/tests/command_carry.rs` runs those.
fn told(story: &'static Story) -> Told {
    let path = |name: &str| top().join(name);
    let from = open(&path(story.from)).unwrap().plan;
    let mut to = Target::of(&from);
    if let Some(name) = story.to {
        to = to.with_lot(read_lot(&path(name)).unwrap());
    }
    if let Some(name) = story.machine {
        to.machine = read_machine(&path(name)).unwrap();
    }
    if let Some(name) = story.room {
        to.room = read_room(&path(name)).unwrap();
    }
    let rules = read_practice(&path(NOTEBOOK).join("practice.ron")).unwrap();
    let mut request = CarryRequest::new(&from, to);
    request.practice = Some(&rules);
    let mut carried = carry(&request, &AtomicBool::new(false), &|_| ()).unwrap();
    let title = Edit::SetTitle(story.plan.to_owned());
    carried.plan = carried.plan.edited(&title).unwrap();
    Told {
        story,
        from,
        carried,
    }
}

/// Compares a file with what it should hold, or writes it.
fn hold(path: &Path, expected: &str) {
    if updates() {
        fs::write(path, expected).unwrap();
        return;
    }
    let found = fs::read_to_string(path).unwrap_or_default();
    let differing = expected
        .lines()
        .zip(found.lines())
        .find(|(expected, found)| expected != found);
    assert!(
        found == expected,
        "{} is not what the engine says (UPDATE_STORIES=1 writes it anew); first difference: {differing:?}",
        path.display()
    );
}

/// Compares a plan with the one in a file, or writes it. The curve is the end of a search, so its last digits are left open.
fn hold_plan(path: &Path, expected: &Plan) {
    if updates() {
        fs::write(path, plan_to_ron(expected)).unwrap();
        return;
    }
    let found = open(path).unwrap().plan;
    let pairs = numbers(&found).into_iter().zip(numbers(expected));
    let farthest = pairs.fold(0.0, |most: f64, (found, expected)| {
        most.max((found - expected).abs())
    });
    let sheets = |plan: &Plan| {
        let PlanParts {
            title,
            notes,
            lot,
            machine,
            room,
            ..
        } = plan.clone().into_parts();
        (title, notes, lot, machine, room)
    };
    assert!(
        numbers(&found).len() == numbers(expected).len()
            && farthest < 1e-3
            && sheets(&found) == sheets(expected),
        "{} is not what the engine says (UPDATE_STORIES=1 writes it anew): off by {farthest}",
        path.display()
    );
}

/// All that is drawn.
fn numbers(plan: &Plan) -> Vec<f64> {
    let points = plan.curve.points().iter();
    let air = plan.airflow.points().iter();
    let finishes = plan.finishes.finishes().iter();
    let mut all = vec![plan.marks.colour_change_c, plan.marks.first_crack_c];
    all.extend(points.flat_map(|point| [point.time_s, point.temp_c]));
    all.extend(air.flat_map(|point| [point.time_s, point.percent]));
    all.extend(finishes.map(|finish| finish.temp_c));
    all
}

/// The file at `path` with the blocks of these names holding these texts.
fn hold_blocks(path: &str, blocks: &[(&str, String)]) {
    let path = top().join(path);
    let mut text = fs::read_to_string(&path).unwrap();
    for (name, block) in blocks {
        let start = format!("<!-- engine: {name} -->\n");
        let at = text.find(&start);
        let from = at.unwrap_or_else(|| panic!("{}: no {start}", path.display())) + start.len();
        let length = text[from..].find("<!-- end -->");
        let to = from + length.unwrap_or_else(|| panic!("{}: {name} has no end", path.display()));
        text.replace_range(from..to, &format!("\n{}\n\n", block.trim_end()));
    }
    hold(&path, &text);
}

/// The table of the layers.
fn layers(carried: &CarryOver) -> String {
    let mut text = "| layer | temperature | rise | time |\n| --- | --- | --- | --- |\n".to_owned();
    let rows = [
        ("physics", carried.layer_texts(|point| point.physics, C)),
        ("practice", carried.layer_texts(|point| point.practice, C)),
        ("together", carried.layer_texts(|point| point.total, C)),
    ];
    for (name, [temp, rise, time]) in rows {
        let _ = writeln!(text, "| {name} | {temp} | {rise} | {time} |");
    }
    text + "| your roasts | nothing yet | | |\n"
}

/// What the roaster looks at, before and after.
fn figures(told: &Told) -> String {
    let Told { from, carried, .. } = told;
    let before = figures_of(from, &carried.before);
    let after = figures_of(&carried.plan, &carried.after);
    let mut text = "| | before | after |\n| --- | --- | --- |\n".to_owned();
    for ((name, before), (_, after)) in before.into_iter().zip(after) {
        let _ = writeln!(text, "| {name} | {before} | {after} |");
    }
    for time_s in MOMENTS_S {
        let (old, new) = (from.curve.temp_c(time_s), carried.plan.curve.temp_c(time_s));
        let _ = writeln!(
            text,
            "| curve at {} | {} | {} ({}) |",
            format_time(time_s),
            format_temp_with_unit(old, C),
            format_temp_with_unit(new, C),
            format_temp_shift_with_unit(new - old, C)
        );
    }
    text
}

fn figures_of(plan: &Plan, picture: &Picture) -> Vec<(&'static str, String)> {
    let phases = &picture.derived.phases;
    let foreseen = picture.outlook.foreseen().unwrap();
    let drop = phases.drop.reached().unwrap();
    let length = |phase: &chaffinch_curve::Reach<chaffinch_curve::Phase>| {
        format_time(phase.reached().unwrap().duration_s)
    };
    let figures = &foreseen.figures;
    let effort = picture.effort_on_curve().unwrap();
    let last_s = foreseen.trace.len();
    let air = (0..last_s).map(|second| plan.airflow.percent(second as f64));
    vec![
        (
            "first-crack mark",
            format_temp_with_unit(plan.marks.first_crack_c, C),
        ),
        (
            "drop, drawn",
            format!(
                "{} at {}",
                format_temp_with_unit(drop.temp_c, C),
                format_time(drop.time_s)
            ),
        ),
        ("drying", length(&phases.drying)),
        ("browning", length(&phases.browning)),
        (
            "development",
            format!(
                "{}, {}",
                length(&phases.development),
                format_share(*phases.development_ratio.reached().unwrap())
            ),
        ),
        (
            "drop, forecast",
            foreseen
                .moments
                .drop_s
                .map_or_else(|| "not reached".to_owned(), format_time),
        ),
        (
            "heater, most on the curve",
            format!(
                "{} %, {} W",
                format_number(effort.value * 100.0, 0),
                format_number(foreseen.trace.heater_w[effort.time_s], 0)
            ),
        ),
        (
            "fan, least setting",
            format!("{} %", format_number(air.fold(f64::INFINITY, f64::min), 0)),
        ),
        (
            "energy",
            format!("{} kWh", format_number(figures.heater_kwh, 3)),
        ),
    ]
}

/// The plain list.
fn why(carried: &CarryOver) -> String {
    format!("- {}\n", carried.lines(C).join("\n- "))
}

/// Widest half width of the band from 1:00 on, in K.
fn open_k(told: &Told) -> f64 {
    let points = told.from.curve.points().iter();
    let pairs = points.zip(told.carried.band());
    let counted = pairs.filter(|(point, _)| 60.0 <= point.time_s);
    counted.fold(0.0, |most: f64, (_, band)| most.max(band.temp_k))
}

fn open_text(told: &Told) -> String {
    format!(
        "± {}",
        format_temp_shift_with_unit(open_k(told), C).trim_start_matches('+')
    )
}

/// One row a story, for the README.
fn overview(all: &[Told]) -> String {
    let mut text =
        "| story | physics | practice | left open by guesses | the machine delivers it |\n| --- | --- | --- | --- | --- |\n"
            .to_owned();
    for told in all {
        let carried = &told.carried;
        let [physics, ..] = carried.layer_texts(|point| point.physics, C);
        let [practice, _, time] = carried.layer_texts(|point| point.practice, C);
        let _ = writeln!(
            text,
            "| [{}](examples/stories/{}/README.md) | {physics} | {practice}, {time} | {} | {} |",
            told.story.title,
            told.story.folder,
            open_text(told),
            if carried.is_delivered() { "yes" } else { "no" }
        );
    }
    text
}

#[test]
fn stories_say_what_the_engine_says() {
    let all: Vec<Told> = STORIES.iter().map(told).collect();
    for told in &all {
        let folder = top().join("examples/stories").join(told.story.folder);
        hold_plan(&folder.join("carried.ron"), &told.carried.plan);
        hold(
            &folder.join("report.txt"),
            &carry_text(&told.from, &told.carried, C),
        );
        let blocks = [
            ("layers", layers(&told.carried)),
            ("figures", figures(told)),
            ("why", why(&told.carried)),
        ];
        hold_blocks(
            &format!("examples/stories/{}/README.md", told.story.folder),
            &blocks,
        );
    }
    let narrower = format!(
        "From 1:00 on the curve is open by {} with the altitude alone and by {} with what was measured.",
        open_text(&all[0]),
        open_text(&all[1])
    );
    hold_blocks(
        "examples/stories/measured/README.md",
        &[("narrower", narrower)],
    );
    hold_blocks("README.md", &[("stories", overview(&all))]);
}

/// Greatest shift of the physics in temperature from 1:00 on, in K.
fn physics_k(told: &Told) -> f64 {
    let points = told.from.curve.points().iter();
    let pairs = points.zip(&told.carried.points);
    let counted = pairs.filter(|(point, _)| 60.0 <= point.time_s);
    counted.fold(0.0, |most: f64, (_, point)| {
        most.max(point.physics.temp_k.abs())
    })
}

/// What the stories claim in words, held apart from their numbers.
#[test]
fn stories_keep_what_they_promise() {
    let [alone, measured, mountain] = STORIES.each_ref().map(told);
    for told in [&alone, &measured, &mountain] {
        let name = told.story.title;
        let left = told.carried.left.unwrap();
        assert!(
            left.rms_k < 1.0,
            "{name}: the core's history is kept: {left:?}"
        );
        assert!(told.carried.is_delivered(), "{name}: the machine follows");
        let lots = [&told.from.lot, &told.carried.plan.lot].map(|lot| lot.notes.to_lowercase());
        assert!(
            lots.iter().all(|notes| notes.contains("invented")),
            "{name}: marked as invented: {lots:?}"
        );
    }
    assert!(
        open_k(&measured) < 0.8 * open_k(&alone),
        "measuring narrows it: {} K, {} K",
        open_k(&measured),
        open_k(&alone)
    );
    assert!(
        physics_k(&alone) < open_k(&alone),
        "altitude alone is no reason: {} K, {} K",
        physics_k(&alone),
        open_k(&alone)
    );
    assert!(
        physics_k(&alone) < physics_k(&measured),
        "measured beans ask for more: {} K, {} K",
        physics_k(&alone),
        physics_k(&measured)
    );
    let known = |told: &Told, number| told.carried.plan.lot.numbers.known(number).unwrap().value;
    assert!(
        known(&measured, LotNumber::Moisture) < known(&alone, LotNumber::Moisture),
        "drier than guessed"
    );
    let diameter_m = |told: &Told| told.carried.after.outlook.sheets.lot.bean_diameter_m;
    assert!(
        diameter_m(&measured) < diameter_m(&alone),
        "smaller than guessed"
    );
    let headings = |told: &Told| -> Vec<&'static str> {
        let found = all_findings(&told.carried.after.derived, &told.carried.after.outlook);
        found
            .iter()
            .map(chaffinch_craft::Finding::heading)
            .collect()
    };
    assert!(
        headings(&alone).contains(&"Long development"),
        "the other coffee's wish is told: {:?}",
        headings(&alone)
    );
}

#[test]
fn up_the_mountain_the_curve_hardly_changes_and_the_heater_gives_far_less() {
    let told = told(&STORIES[2]);
    let Picture { derived, outlook } = &told.carried.before;
    let findings = all_findings(derived, outlook);
    assert!(
        findings
            .iter()
            .all(|found| found.severity() == Severity::Note),
        "the kitchen's plan works: {findings:?}"
    );
    assert!(physics_k(&told) < 2.0, "the curve: {} K", physics_k(&told));
    let kwh = |picture: &Picture| picture.outlook.foreseen().unwrap().figures.heater_kwh;
    let energy = kwh(&told.carried.after) / kwh(&told.carried.before);
    assert!(energy < 0.7, "far less heat: {energy}");
    let sheets = &told.carried.after.outlook.sheets;
    let power = (sheets.room.mains_v / sheets.machine.rated_voltage_v).powi(2);
    assert!((power - 0.84).abs() < 0.005, "84 % of the plate: {power}");
}

/// The rules of thumb beside the model, on the curve that the first two stories start from.
#[test]
fn rules_of_thumb_are_told_as_the_model_finds_them() {
    let from = open(&top().join(STORIES[0].from)).unwrap().plan;
    let table = thumb_table(&from, &AtomicBool::new(false)).unwrap();
    let mut text =
        "| roasters say | tried with | the model finds | |\n| --- | --- | --- | --- |\n".to_owned();
    for answer in &table {
        let _ = writeln!(
            text,
            "| {} | {} | {} | {} |",
            answer.rule.says,
            answer.rule.tried,
            answer.text(C),
            answer.verdict().map_or("", |verdict| verdict.word())
        );
    }
    hold_blocks("examples/stories/README.md", &[("thumb", text)]);
}
