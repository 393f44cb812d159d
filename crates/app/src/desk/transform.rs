//! The transform that the drawer's form asks for, given what is selected.
//!
//! The page fills in the form, the preview and the page ask [`wished`] each frame for the same edit.

use super::view_state::{DrawerPage, ViewState};
use chaffinch_craft::{Edit, Plan, TransformError, TransformKind, TransformScope};

/// The selected points, or all when none is selected, with the current point and measuring line A.
pub fn scope<'a>(plan: &'a Plan, view: &ViewState) -> TransformScope<'a> {
    TransformScope::of(plan, |id| view.selection.contains(&id))
        .with_pivots(view.current, view.measure_s[0])
}

/// The edit that the form asks for with the selection as it is; `None` when it changes nothing.
///
/// # Errors
/// Why it can't be done: a lock, a limit, a pivot that isn't there.
pub fn wished(plan: &Plan, view: &ViewState) -> Result<Option<Edit>, TransformError> {
    view.transform.edit(&scope(plan, view))
}

/// The temperature, in °C, that the page for scaling keeps; `None` while another page is open.
pub fn shown_pivot_c(plan: &Plan, view: &ViewState) -> Option<f64> {
    let is_open = view.drawer_open && view.drawer_page == DrawerPage::Transform;
    let scales = view.transform.kind == TransformKind::Scale;
    (is_open && scales).then(|| view.transform.pivot_c(&scope(plan, view)))
}
