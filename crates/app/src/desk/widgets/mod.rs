//! Small widgets that know no plan. Each has an accessible name, a visible focus and the states of the identity.

pub mod buttons;
pub mod card;
pub mod choice;
pub mod figure;
pub mod finding_card;
pub mod focus;
pub mod segmented;
pub mod sign;
pub mod swatch;
pub mod tooltip;
pub mod typed_field;
pub mod value_slider;
