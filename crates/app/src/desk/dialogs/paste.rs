//! Points from the clipboard: what was understood of them, and their use in place of the curve's points.

use super::modal::{ASKING_PX, Opening, buttons, modal, paragraph};
use crate::desk::{
    ask::Ask,
    dialogs::Dialog,
    model::Model,
    paint::marks::{Severity, finding_glyph},
    theme::{Palette, Step, space},
    view_state::ViewState,
    widgets::buttons::{ButtonLook, button},
};
use chaffinch_craft::{
    Edit, Plan,
    units::{format_temp_exact, format_time_exact},
};
use chaffinch_curve::{ControlPoint, CurvePoint, PointEdit, PointId, Segment, SetpointCurve};
use chaffinch_shelf::table_text::{
    DecimalMark, Delimiter, PastedPoints, TimeFormat, Understood, read_points,
};
use eframe::egui::{
    Align, Label, Layout, RichText, Sense, Ui, Vec2,
    cache::{ComputerMut, FrameCache},
    vec2,
};
use std::sync::Arc;

/// Rows that the preview shows.
const PREVIEW_ROWS: usize = 6;
/// Widths of the preview's columns, in points: row, time, temperature.
const PREVIEW_WIDTHS_PX: [f32; 3] = [40.0, 96.0, 136.0];
/// Height of a row of the preview, in points.
const PREVIEW_ROW_PX: f32 = 16.0;

/// The text as it was read; a long one is read once, not in every frame.
type Read = Arc<Result<PastedPoints, String>>;

#[derive(Default)]
struct Reader;

impl ComputerMut<&str, Read> for Reader {
    fn compute(&mut self, text: &str) -> Read {
        Arc::new(read_points(text).map_err(|error| error.to_string()))
    }
}

/// Shows the dialog while it is open.
pub fn ui(model: &Model<'_>, view: &ViewState, asks: &mut Vec<Ask>, ui: &Ui) {
    let Some(Dialog::Paste { text }) = &view.dialog else {
        return;
    };
    let read = ui.memory_mut(|memory| {
        memory
            .caches
            .cache::<FrameCache<Read, Reader>>()
            .get(text.as_str())
            .clone()
    });
    modal(
        ui,
        "Paste points",
        ASKING_PX,
        asks,
        |ui, opening, asks| match &*read {
            Ok(pasted) => {
                preview(pasted, ui);
                use_or_leave(model.plan, &pasted.points, opening, asks, ui);
            }
            Err(reason) => {
                refusal(
                    "The clipboard holds no table of points that can be read.",
                    reason,
                    ui,
                );
                leave(opening, asks, ui);
            }
        },
    );
}

fn preview(pasted: &PastedPoints, ui: &mut Ui) {
    let palette = Palette::of(ui);
    for line in understood_lines(pasted.points.len(), &pasted.understood) {
        paragraph(ui, &line);
    }
    ui.add_space(space::TIGHT);
    ui.spacing_mut().item_spacing.y = space::TIGHT;
    // As the text has them, so that they can be recognised.
    let unit = pasted.understood.temp_unit;
    let heads = ["Row", "Time", &format!("Temperature {}", unit.symbol())].map(str::to_owned);
    preview_row(
        heads.map(|head| Step::Small.text(head).color(palette.text2)),
        ui,
    );
    for (point, number) in pasted.points.iter().take(PREVIEW_ROWS).zip(1..) {
        let texts = [
            format!("{number}"),
            format_time_exact(point.time_s),
            format_temp_exact(point.temp_c, unit),
        ];
        preview_row(
            texts.map(|text| Step::Body.text(text).color(palette.text)),
            ui,
        );
    }
    let rest = pasted.points.len().saturating_sub(PREVIEW_ROWS);
    if rest > 0 {
        ui.label(
            Step::Small
                .text(format!("and {rest} more"))
                .color(palette.text3),
        );
    }
}

fn preview_row(texts: [RichText; 3], ui: &mut Ui) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        for (text, width_px) in texts.into_iter().zip(PREVIEW_WIDTHS_PX) {
            let size = vec2(width_px, PREVIEW_ROW_PX);
            ui.allocate_ui_with_layout(size, Layout::right_to_left(Align::Center), |ui| {
                ui.label(text)
            });
        }
    });
}

fn understood_lines(rows: usize, understood: &Understood) -> [String; 2] {
    let between = match understood.delimiter {
        Delimiter::Tab => "tabs",
        Delimiter::Semicolon => "semicolons",
        Delimiter::Comma => "commas",
    };
    let mark = match understood.decimal_mark {
        Some(DecimalMark::Dot) => ", a dot before decimals",
        Some(DecimalMark::Comma) => ", a comma before decimals",
        None => "",
    };
    let header = if understood.has_header {
        ", names in the first row"
    } else {
        ""
    };
    let time = match understood.time {
        TimeFormat::Seconds => "seconds",
        TimeFormat::Minutes => "minutes",
        TimeFormat::Clock => "m:ss",
    };
    let unit = understood.temp_unit.symbol();
    let basis = if understood.is_temp_unit_stated {
        ""
    } else {
        ", since the table doesn't say otherwise"
    };
    let ignored = match understood.ignored_columns {
        0 => String::new(),
        1 => " One column is left out.".to_owned(),
        more => format!(" {more} columns are left out."),
    };
    let points = if rows == 1 {
        "1 point".to_owned()
    } else {
        format!("{rows} points")
    };
    [
        format!("{points}, with {between} between columns{mark}{header}."),
        format!("Time in {time}; temperature in {unit}{basis}.{ignored}"),
    ]
}

fn use_or_leave(
    plan: &Plan,
    pasted: &[CurvePoint],
    opening: Opening,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let edit = Edit::Points(PointEdit::Replace(replacement(&plan.curve, pasted)));
    let refused = plan.edited(&edit).err().map(|refusal| refusal.to_string());
    match &refused {
        Some(reason) => refusal(
            "These points can't take the place of the curve's.",
            reason,
            ui,
        ),
        None => paragraph(
            ui,
            "They take the place of all points of the curve, as one step that can be undone. \
             A point at the same time as before keeps its lock and the kind of its stretch.",
        ),
    }
    buttons(ui, |ui| {
        let apply = ui
            .add_enabled_ui(refused.is_none(), |ui| {
                button(ui, ButtonLook::Primary, "Replace all points")
            })
            .inner;
        if refused.is_none() {
            opening.focus(&apply);
        }
        if apply.clicked() {
            asks.extend([Ask::Apply(edit), Ask::CloseDialog]);
        }
        let cancel = button(ui, ButtonLook::Plain, "Cancel");
        if refused.is_some() {
            opening.focus(&cancel);
        }
        if cancel.clicked() {
            asks.push(Ask::CloseDialog);
        }
    });
}

fn leave(opening: Opening, asks: &mut Vec<Ask>, ui: &mut Ui) {
    buttons(ui, |ui| {
        let close = button(ui, ButtonLook::Primary, "Close");
        opening.focus(&close);
        if close.clicked() {
            asks.push(Ask::CloseDialog);
        }
    });
}

fn refusal(heading: &str, reason: &str, ui: &mut Ui) {
    let palette = Palette::of(ui);
    ui.horizontal_top(|ui| {
        let (glyph, _) = ui.allocate_exact_size(Vec2::splat(18.0), Sense::hover());
        ui.painter().extend(finding_glyph(
            Severity::Stop,
            glyph.center(),
            palette,
            palette.raised,
        ));
        ui.vertical(|ui| {
            ui.add(Label::new(Step::Strong.text(heading).color(palette.stop_text)).wrap());
            let words = crate::desk::drawer::sentence(reason);
            ui.add(
                Label::new(Step::Body.text(words).color(palette.text))
                    .wrap()
                    .selectable(true),
            );
        });
    });
}

/// The pasted places as control points: one at the time of a point of `curve` is that point, the others are new.
///
/// A stretch that was a hold and is no longer level becomes curved; a pinned rise stays where the point stays.
fn replacement(curve: &SetpointCurve, pasted: &[CurvePoint]) -> Vec<ControlPoint> {
    let mut new_ids = (curve.next_id().0..).map(PointId);
    let mut points: Vec<ControlPoint> = Vec::with_capacity(pasted.len());
    for place in pasted {
        let known = curve
            .points()
            .iter()
            .find(|point| point.time_s == place.time_s);
        points.push(match known {
            Some(known) if known.temp_c == place.temp_c => *known,
            Some(known) => ControlPoint {
                temp_c: place.temp_c,
                pinned_rise_c_per_s: None,
                ..*known
            },
            None => {
                let id = new_ids.next().unwrap_or(curve.next_id());
                ControlPoint::new(id, place.time_s, place.temp_c)
            }
        });
    }
    for i in 1..points.len() {
        if points[i - 1].segment == Segment::Hold && points[i - 1].temp_c != points[i].temp_c {
            points[i - 1].segment = Segment::Curved;
        }
    }
    points
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::missing_assert_message,
        reason = "a test may stop at the first surprise"
    )]
    use super::*;
    use chaffinch_curve::{Lock, Shape};

    fn curve() -> SetpointCurve {
        let mut points = [
            (4, 0.0, 105.0),
            (2, 120.0, 150.0),
            (9, 180.0, 150.0),
            (5, 480.0, 214.0),
        ]
        .map(|(id, time_s, temp_c)| ControlPoint::new(PointId(id), time_s, temp_c));
        points[1].segment = Segment::Hold;
        points[2].lock = Lock::Both;
        points[3].pinned_rise_c_per_s = Some(0.1);
        SetpointCurve::new(Shape::Monotone, points.to_vec()).unwrap()
    }

    fn places(curve: &SetpointCurve) -> Vec<CurvePoint> {
        curve.points().iter().map(ControlPoint::place).collect()
    }

    #[test]
    fn points_pasted_back_unchanged_are_the_same_points() {
        assert_eq!(replacement(&curve(), &places(&curve())), curve().points());
    }

    #[test]
    fn point_at_a_new_temperature_keeps_its_name_and_a_broken_hold_becomes_curved() {
        let mut pasted = places(&curve());
        pasted[1].temp_c = 145.0;
        let points = replacement(&curve(), &pasted);
        assert_eq!(
            (points[1].id, points[1].segment),
            (PointId(2), Segment::Curved)
        );
        assert!(curve().edited(&PointEdit::Replace(points)).is_ok());
    }

    #[test]
    fn new_times_become_new_points_with_names_of_their_own() {
        let mut pasted = places(&curve());
        for time_s in [200.0, 300.0] {
            pasted.insert(
                pasted.len() - 1,
                CurvePoint {
                    time_s,
                    temp_c: 190.0,
                },
            );
        }
        let ids: Vec<u32> = replacement(&curve(), &pasted)
            .iter()
            .map(|point| point.id.0)
            .collect();
        assert_eq!(ids, [4, 2, 9, 10, 11, 5]);
    }

    #[test]
    fn table_without_a_locked_point_is_refused_and_the_point_is_named() {
        let mut pasted = places(&curve());
        pasted.remove(2);
        let edit = PointEdit::Replace(replacement(&curve(), &pasted));
        let reason = curve().edited(&edit).unwrap_err().to_string();
        assert!(reason.contains("point 3 is locked"), "{reason}");
    }

    #[test]
    fn preview_says_when_a_unit_is_only_assumed() {
        let lines = |text: &str| {
            let pasted = read_points(text).unwrap();
            understood_lines(pasted.points.len(), &pasted.understood).join(" ")
        };
        let assumed = lines("0;105,5\n480;214");
        assert!(
            assumed.contains("semicolons") && assumed.contains("a comma before decimals"),
            "{assumed}"
        );
        assert!(
            assumed.contains("°C, since the table doesn't say otherwise"),
            "{assumed}"
        );
        let stated = lines("Time (m:ss)\tTemperature (°F)\n0:00\t221\n8:00\t417.2");
        assert!(stated.contains("m:ss; temperature in °F."), "{stated}");
        assert!(stated.contains("names in the first row"), "{stated}");
    }
}
