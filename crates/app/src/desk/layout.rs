//! Sizes of the window's parts, in points.

/// A window narrower than this folds the left column into a rail.
pub const NARROW_WINDOW_PX: f32 = 1180.0;
/// A window lower than this uses the tight heights.
pub const LOW_WINDOW_PX: f32 = 720.0;

/// Height of the top bar.
pub const TOP_BAR_PX: f32 = 44.0;
/// Width of the left column.
pub const LEFT_COLUMN_PX: f32 = 248.0;
/// Width of the left column when it is folded to a rail.
pub const LEFT_RAIL_PX: f32 = 44.0;
/// Width of the right column.
pub const RIGHT_COLUMN_PX: f32 = 272.0;
/// Width of the right column in a narrow window.
pub const RIGHT_COLUMN_NARROW_PX: f32 = 232.0;
/// Width of the right column while a rework is open.
pub const REWORK_COLUMN_PX: f32 = 332.0;
/// The same in a narrow window.
pub const REWORK_COLUMN_NARROW_PX: f32 = 292.0;
/// Height of the bar at the foot: the closed drawer.
pub const DRAWER_BAR_PX: f32 = 36.0;
/// Height that the drawer adds when it is open.
pub const DRAWER_OPEN_PX: f32 = 208.0;
/// The same in a low window.
pub const DRAWER_OPEN_LOW_PX: f32 = 164.0;

/// Least height of the centre: what it has at 1000 × 640 with the drawer open. In a lower window the lanes scroll.
pub const LEAST_LANES_PX: f32 = 396.0;

/// Gutter left of the lanes, for axis numbers.
pub const LEFT_GUTTER_PX: f32 = 50.0;
/// Least gutter right of the lanes, for finishes …
pub const LEAST_RIGHT_GUTTER_PX: f32 = 96.0;
/// … and the largest share of the centre that it takes for long names.
pub const RIGHT_GUTTER_SHARE: f32 = 0.19;
/// Margin above the strip.
pub const LANES_TOP_PX: f32 = 8.0;
/// Height of the phase strip.
pub const STRIP_PX: f32 = 42.0;
/// Gap between strip and first lane.
pub const STRIP_GAP_PX: f32 = 6.0;
/// Gap between lanes.
pub const LANE_GAP_PX: f32 = 10.0;
/// Height of the time axis.
pub const TIME_AXIS_PX: f32 = 30.0;
/// Shares of the three lanes in the height that is left.
pub const LANE_SHARES: [f32; 3] = [0.62, 0.20, 0.18];
/// Foot of each lane that the curves keep free for findings.
pub const RAIL_PX: f32 = 18.0;

/// Side of a handle's hit area; WCAG 2.2, 2.5.8 asks for 24.
pub const HIT_PX: f32 = 24.0;
/// The same under a finger.
pub const TOUCH_HIT_PX: f32 = 44.0;
/// Pointer travel before a press becomes a drag along one axis.
pub const AXIS_DECISION_PX: f32 = 4.0;
/// Distance within which a dragged point snaps to another's time, a mark or a finish.
pub const SNAP_PX: f32 = 5.0;
/// Height of a finish tab.
pub const FINISH_TAB_PX: f32 = 20.0;
/// Distance of finish tabs.
pub const FINISH_STEP_PX: f32 = 25.0;
