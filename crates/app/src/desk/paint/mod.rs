//! Shapes of the lanes and widgets, made by pure functions in screen points: no text glyphs, no `Ui`, no plan.

pub mod bands;
pub mod dash;
pub mod hatch;
pub mod icons;
pub mod marks;
pub mod ribbon;
pub mod strokes;
