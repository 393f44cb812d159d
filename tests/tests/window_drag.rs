//! A drag of a point: one layout a frame, and every figure where the pointer is.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::missing_assert_message,
    reason = "a test may stop at the first surprise"
)]

mod desk;

use desk::Desk;
use eframe::egui::vec2;

/// A frame that is laid out twice takes twice as long.
#[test]
fn a_frame_of_a_drag_is_laid_out_once_and_the_point_is_under_the_pointer() {
    let mut desk = Desk::example();
    let from = desk.handle(6).rect().center();
    desk.press(from);
    // The drag begins.
    desk.pull(from, from + vec2(12.0, 9.0));
    for step in 0..20_u8 {
        let at = from + vec2(12.0 + f32::from(step), 9.0 - f32::from(step));
        let before = (
            desk.ctx.cumulative_pass_nr(),
            desk.state().document().history.revision(),
        );
        desk.pointer(at);
        let passes = desk.ctx.cumulative_pass_nr() - before.0;
        assert_eq!(passes, 1, "step {step}");
        let point = desk.point(6);
        let shown = desk.screen(point.time_s, point.temp_c);
        assert!(shown.distance(at) < 6.0, "{shown:?} for {at:?}, snapped");
        assert_eq!(desk.handle(6).rect().center(), shown, "the handle");
        // What is shown was worked out of the plan as it is.
        let worked_out = chaffinch_craft::Derived::of(&desk.plan());
        assert_eq!(desk.derived(), &worked_out);
    }
    desk.release(from + vec2(31.0, -10.0));
}
