//! What the commands that shape the curve by its rise do.

use super::{commands::Command, view_state::Status, workbench::Workbench};
use chaffinch_craft::{Edit, HandEdit, RiseAtDrop, limits::EASED_SHARE, units::format_time};
use chaffinch_curve::{PointId, Reach};

impl Workbench {
    pub(super) fn shape_by_hand(&mut self, command: Command) {
        match command {
            Command::StraightenRise => self.straighten_rise(),
            Command::EaseIntoDrop => self.ease_into_drop(),
            _ => {
                self.view.bend_keeps = self.view.bend_keeps.other();
                let kept = self.view.bend_keeps.meaning();
                self.view.status = Some(Status::Done(format!("Bending the rise: {kept}")));
            }
        }
    }

    fn straighten_rise(&mut self) {
        let selected = self.view.selected(&self.document.history.plan().curve);
        if let [from, .., to] = *selected.as_slice() {
            self.apply(&Edit::Hand(HandEdit::StraightenRise { from, to }));
        } else {
            let reason =
                "Select the first and the last point between which the rise should be straight";
            self.view.status = Some(Status::Refused(reason.to_owned()));
        }
    }

    fn ease_into_drop(&mut self) {
        let from = self.easing_begins_at();
        let rise = RiseAtDrop::Share(EASED_SHARE);
        let plan = self.document.history.plan();
        let before_s = plan.curve.first_reach(plan.finish().temp_c);
        self.apply(&Edit::Hand(HandEdit::EaseIntoDrop { from, rise }));
        let plan = self.document.history.plan();
        let after_s = plan.curve.first_reach(plan.finish().temp_c);
        let times = [before_s, after_s].map(|time_s| time_s.map(format_time));
        if let [Some(before), Some(after)] = times
            && before != after
        {
            self.view.status = Some(Status::Done(format!(
                "Eased into the drop, which moved from {before} to {after}: no fall without a turn could keep its time"
            )));
        }
    }

    /// The first of the points that are meant, if it lies behind first crack; without one easing begins at first crack.
    fn easing_begins_at(&self) -> Option<PointId> {
        let curve = &self.document.history.plan().curve;
        let first = curve.point(*self.view.meant(curve).first()?)?;
        let is_behind = match &self.computed.derived().phases.first_crack {
            Reach::At(crack) => crack.time_s <= first.time_s,
            Reach::NotReached => true,
        };
        is_behind.then_some(first.id)
    }
}
