//! The window as a whole: it owns the plan's history, lays out the views, and carries out what they ask.

mod ahead;

use super::{
    ask::Ask,
    backroom::Backroom,
    clipboard,
    computed::Computed,
    dialogs::{self, Dialog},
    document::Document,
    drawer,
    files::{Files, NativeChooser, PathChooser},
    findings_list,
    hints::{self, Hint},
    lanes::{self, Anchors, LaneFrame},
    layout,
    model::Model,
    notebook::Notebook,
    outcome,
    places::Places,
    prefs::{Prefs, ThemeChoice},
    rework::{self, Rework},
    sheets,
    start::APP_ID,
    theme::{self, Palette},
    top_bar,
    view_state::ViewState,
    window_span::{LaneView, ViewStep},
};
use eframe::egui::{
    Area, CentralPanel, Context, Frame, Id, Margin, Order, Panel, Pos2, ScrollArea, Stroke,
    ThemePreference, Ui, accesskit_root_id, pos2, scroll_area::ScrollSource, vec2,
};
use std::path::{Path, PathBuf};

/// Key of the preferences in eframe's store.
const PREFS_KEY: &str = "chaffinch-preferences";

/// The desk with one plan on it.
#[derive(Debug)]
pub struct Workbench {
    pub(super) document: Document,
    pub(super) view: ViewState,
    pub(super) computed: Computed,
    pub(super) prefs: Prefs,
    pub(super) files: Files,
    pub(super) notebook: Notebook,
    /// The notebook of plans without a file.
    pub(super) home_notebook: Option<PathBuf>,
    /// What waits for a save to succeed.
    pub(super) after_save: Option<dialogs::GoOn>,
    /// What is carried out once the fields of this frame were left.
    pub(super) next_frame: Vec<Ask>,
    /// What the last edit of the gesture teaches.
    pub(super) dragged: Option<Hint>,
    /// What is shown when the dialog that is open is closed.
    pub(super) next_dialog: Option<Dialog>,
    /// What shows the whole plan, and the revision of the plan that it shows.
    pub(super) whole: (u64, LaneView),
    /// Unsaved work was dealt with; the window may close.
    pub(super) may_close: bool,
    lane: Option<LaneFrame>,
}

impl Workbench {
    /// A desk with the example plan, or with `file` if it can be opened; if not, the trouble is shown.
    pub fn new(
        file: Option<&Path>,
        prefs: Prefs,
        chooser: Box<dyn PathChooser>,
        backroom: Backroom,
    ) -> Self {
        let mut trouble = None;
        let document = match file.map(Document::open) {
            None => Document::example(),
            Some(Ok(document)) => document,
            Some(Err(found)) => {
                trouble = Some(Dialog::Trouble(found));
                Document::example()
            }
        };
        let computed = Computed::of(&document.history, backroom);
        let mut view = ViewState::of(
            document.history.plan(),
            computed.derived(),
            computed.outlook(),
        );
        view.status = document.told();
        // Cautions come first; the trouble follows them.
        let next_dialog = if prefs.cautions_read {
            view.dialog = trouble;
            None
        } else {
            view.dialog = Some(Dialog::Cautions);
            trouble
        };
        let whole = (document.history.revision(), view.lanes.current());
        let notebook = Notebook::open(document.file(), None);
        let mut prefs = prefs;
        document.remember_in(&mut prefs);
        Self {
            document,
            view,
            computed,
            prefs,
            files: Files::new(chooser),
            notebook,
            home_notebook: None,
            after_save: None,
            next_frame: Vec::new(),
            dragged: None,
            next_dialog,
            whole,
            may_close: false,
            lane: None,
        }
    }

    /// The same, with this notebook for plans that have no file.
    #[must_use]
    pub fn with_home_notebook(mut self, folder: Option<PathBuf>) -> Self {
        self.home_notebook = folder;
        self.open_notebook();
        self
    }

    /// Lays out one frame and carries out what was asked in it.
    pub fn ui(&mut self, ui: &mut Ui) {
        let mut asks: Vec<Ask> = self.files.poll(ui.ctx()).into_iter().collect();
        let waiting = std::mem::take(&mut self.next_frame);
        self.follow_pointer(ui.ctx());
        self.computed.refresh(
            &self.document.history,
            &self.view,
            self.prefs.unit(),
            ui.ctx(),
        );
        self.computed.refresh_rework(
            &self.document.history,
            &self.view,
            self.notebook.practice(),
            ui.ctx(),
        );
        // Only after a change: a view that the user chose of a plan stays as it is.
        let revision = self.document.history.revision();
        if self.view.gesture.is_none() && self.whole.0 != revision {
            let shown = self.view.lanes.current();
            let plan = self.document.history.plan();
            let (derived, outlook) = (self.computed.derived(), self.computed.outlook());
            let grown = lanes::fit::grown(shown, &self.whole.1, plan, (derived, outlook));
            self.view.lanes.go(grown, ViewStep::Continues);
            self.whole = (revision, lanes::fit::whole_plan(plan, derived, outlook));
        }
        self.panels(&mut asks, ui);
        self.keys(&mut asks, ui);
        Self::dropped_files(&mut asks, ui);
        self.closing(ui.ctx());
        // What waited for the fields comes after what the fields had to say.
        for ask in asks.into_iter().chain(waiting) {
            self.carry_out(ask, ui.ctx());
        }
        if self.view.gesture.is_some() && self.document.history.revision() != revision {
            // Laid out once more within this frame, so that all figures stand where the pointer is. A dragged point was there before.
            ui.ctx().request_discard("a drag changed the plan");
        }
        self.view
            .forget_missing(&self.document.history.plan().curve);
    }

    fn panels(&mut self, asks: &mut Vec<Ask>, ui: &mut Ui) {
        let plan = self.document.history.plan().clone();
        let model = Model {
            plan: &plan,
            derived: self.computed.derived(),
            outlook: self.computed.outlook(),
            spread: self.computed.spread(),
            is_spread_pending: self.computed.is_spread_pending(),
            findings: self.computed.findings(),
            history: &self.document.history,
            unit: self.prefs.unit(),
            behind: self.computed.behind(),
            alignment: self.view.alignment,
            ghost: self.computed.ghost(),
            rework: self.computed.rework().answer(),
            is_rework_pending: self.computed.rework().is_pending(),
            rework_progress: self.computed.rework().progress(),
            is_rework_stopped: self.computed.rework().is_stopped(),
            notebook: &self.notebook,
            carried: None,
            repairs: self.computed.repairs(),
            file: self.document.file(),
            recent: &self.prefs.recent,
        };
        let view = &mut self.view;
        let size = ui.ctx().content_rect().size();
        let saved = self.document.saved_state();
        let bar = panel_frame(ui, Margin::symmetric(12, 0));
        Panel::top("top-bar")
            .exact_size(layout::TOP_BAR_PX)
            .frame(bar)
            .show(ui, |ui| top_bar::ui(&model, &saved, asks, ui));
        let fields = foot(&model, view, size.y, asks, ui);
        left_column(&model, view, size.x, asks, ui);
        right_column(&model, view, size.x, asks, ui);
        let desk = Frame::new().fill(Palette::of(ui).panel);
        let shown = CentralPanel::default()
            .frame(desk)
            .show(ui, |ui| centre(&model, view, asks, ui))
            .inner;
        let (anchors, lane) = shown;
        self.lane = Some(lane);
        // A drag needs the whole chart, and whoever opened or began a plan has found the way.
        let teaches = self.document.is_example() && view.gesture.is_none() && !view.drawer_open;
        if view.dialog.is_none() && teaches {
            let anchors = hints::HintAnchors {
                point: anchors.point,
                finish: anchors.finish,
                reach: hints::edge_of_reach(&model, &lane),
                is_reach_known: hints::knows_reach(&model),
                fields,
                handles: &anchors.handles,
                bounds: anchors.lane,
            };
            hints::ui(&self.prefs, &anchors, asks, ui);
        }
        dialogs::ui(&model, view, &self.prefs, asks, ui);
        clipboard::take_events(view, model.unit, asks, ui);
    }

    /// The plan, its history and its file.
    pub fn document(&self) -> &Document {
        &self.document
    }

    /// How the plan is looked at.
    pub fn view(&self) -> &ViewState {
        &self.view
    }

    /// What follows from the plan, as of the last frame.
    pub fn computed(&self) -> &Computed {
        &self.computed
    }

    /// The notebook that the plan belongs to.
    pub fn notebook(&self) -> &Notebook {
        &self.notebook
    }

    /// The preferences.
    pub fn prefs(&self) -> &Prefs {
        &self.prefs
    }

    /// The temperature lane's place and scales in the last frame.
    pub fn lane(&self) -> Option<&LaneFrame> {
        self.lane.as_ref()
    }
}

fn panel_frame(ui: &Ui, margin: Margin) -> Frame {
    let palette = Palette::of(ui);
    Frame::new()
        .fill(palette.panel)
        .inner_margin(margin)
        .stroke(Stroke::new(1.0, palette.hairline))
}

/// The lanes. Where the window is too low for them they scroll, by the bar alone: over the lanes the wheel zooms.
fn centre(
    model: &Model<'_>,
    view: &mut ViewState,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) -> (Anchors, LaneFrame) {
    ScrollArea::vertical()
        .id_salt("lanes-scroll")
        .scroll_source(ScrollSource::SCROLL_BAR)
        .auto_shrink(false)
        .show(ui, |ui| {
            let height_px = ui.available_height().max(layout::LEAST_LANES_PX);
            let room = vec2(ui.available_width(), height_px);
            ui.allocate_ui(room, |ui| lanes::ui(model, view, asks, ui))
                .inner
        })
        .inner
}

/// The bar at the foot and, when it is open, the drawer above it; returns where the exact fields are.
fn foot(
    model: &Model<'_>,
    view: &mut ViewState,
    height: f32,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) -> Pos2 {
    let frame = panel_frame(ui, Margin::symmetric(12, 4));
    let bar = Panel::bottom("foot-bar")
        .exact_size(layout::DRAWER_BAR_PX)
        .frame(frame)
        .show(ui, |ui| drawer::bar(model, view, asks, ui));
    // Left waiting, the wish would take the focus from whatever is touched next.
    if std::mem::take(&mut view.focus_fields) {
        asks.push(Ask::Say(
            "This point is locked; unlock it to type its time or temperature".to_owned(),
        ));
    }
    if view.drawer_open {
        let size = if height < layout::LOW_WINDOW_PX {
            layout::DRAWER_OPEN_LOW_PX
        } else {
            layout::DRAWER_OPEN_PX
        };
        Panel::bottom("drawer")
            .exact_size(size)
            .frame(panel_frame(ui, Margin::symmetric(12, 8)))
            .show(ui, |ui| drawer::ui(model, view, asks, ui));
    }
    let rect = bar.response.rect;
    pos2(rect.left() + rect.width() * 0.35, rect.top())
}

fn left_column(
    model: &Model<'_>,
    view: &mut ViewState,
    width: f32,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let margin = Margin::same(8);
    if width >= layout::NARROW_WINDOW_PX {
        Panel::left("sheets")
            .exact_size(layout::LEFT_COLUMN_PX)
            .resizable(false)
            .frame(panel_frame(ui, margin))
            .show(ui, |ui| left_sheets(model, view, asks, ui));
        return;
    }
    let rail = Panel::left("sheets-rail")
        .exact_size(layout::LEFT_RAIL_PX)
        .resizable(false)
        .frame(panel_frame(ui, Margin::same(4)))
        .show(ui, |ui| sheets::rail(model, view, asks, ui));
    if view.left_open {
        let rect = rail.response.rect;
        Area::new(Id::unique("sheets-over-chart"))
            .order(Order::Middle)
            .fixed_pos(rect.right_top())
            .show(ui.ctx(), |ui| {
                panel_frame(ui, margin).show(ui, |ui| {
                    let size = vec2(layout::LEFT_COLUMN_PX - 16.0, rect.height() - 18.0);
                    ui.set_min_size(size);
                    ui.set_max_size(size);
                    left_sheets(model, view, asks, ui);
                });
            });
    }
}

/// The plan's sheets, or those that it is carried to.
fn left_sheets(model: &Model<'_>, view: &mut ViewState, asks: &mut Vec<Ask>, ui: &mut Ui) {
    match view.rework {
        Some(Rework::Carry(_)) => rework::sheets(model, view, asks, ui),
        _ => sheets::ui(model, view, asks, ui),
    }
}

fn right_column(
    model: &Model<'_>,
    view: &mut ViewState,
    width: f32,
    asks: &mut Vec<Ask>,
    ui: &mut Ui,
) {
    let is_wide = width >= layout::NARROW_WINDOW_PX;
    let size = match (view.rework.is_some(), is_wide) {
        (true, true) => layout::REWORK_COLUMN_PX,
        (true, false) => layout::REWORK_COLUMN_NARROW_PX,
        (false, true) => layout::RIGHT_COLUMN_PX,
        (false, false) => layout::RIGHT_COLUMN_NARROW_PX,
    };
    Panel::right("outcome")
        .exact_size(size)
        .resizable(false)
        .frame(panel_frame(ui, Margin::same(8)))
        .show(ui, |ui| {
            ScrollArea::vertical()
                .id_salt("outcome-scroll")
                .auto_shrink(false)
                .show(ui, |ui| {
                    if view.rework.is_some() {
                        rework::panel(model, view, asks, ui);
                        return;
                    }
                    outcome::ui(model, view, asks, ui);
                    ui.add_space(theme::space::TIGHT);
                    findings_list::ui(model, view, asks, ui);
                });
        });
}

/// The workbench as eframe runs it.
#[derive(Debug)]
pub struct WorkbenchApp {
    workbench: Workbench,
    title: String,
    places: Places,
}

impl WorkbenchApp {
    /// Sets the theme up, reads the preferences, and opens `file` or the example plan.
    pub fn new(cc: &eframe::CreationContext<'_>, file: Option<&Path>) -> Self {
        theme::install(&cc.egui_ctx);
        let prefs: Prefs = cc
            .storage
            .and_then(|storage| eframe::get_value(storage, PREFS_KEY))
            .unwrap_or_default();
        show_theme(&cc.egui_ctx, prefs.theme);
        Self {
            workbench: Workbench::new(
                file,
                prefs,
                Box::new(NativeChooser::new(cc)),
                Backroom::worker(),
            )
            .with_home_notebook(eframe::storage_dir(APP_ID).map(|dir| dir.join("notebook"))),
            title: String::new(),
            places: Places::from_environment(),
        }
    }
}

impl eframe::App for WorkbenchApp {
    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        self.workbench.ui(ui);
        self.places.write(&self.workbench, ui.ctx());
        let title = self.workbench.document.window_title();
        if title != self.title {
            ui.ctx()
                .send_viewport_cmd(eframe::egui::ViewportCommand::Title(title.clone()));
            self.title = title;
        }
        // A screen reader says it when the window gets the focus.
        ui.ctx()
            .accesskit_node_builder(accesskit_root_id(), |node| node.set_label(&*self.title));
    }

    fn save(&mut self, storage: &mut dyn eframe::Storage) {
        eframe::set_value(storage, PREFS_KEY, &self.workbench.prefs);
    }
}

/// Shows the chosen theme.
pub(super) fn show_theme(ctx: &Context, choice: ThemeChoice) {
    ctx.set_theme(match choice {
        ThemeChoice::System => ThemePreference::System,
        ThemeChoice::Light => ThemePreference::Light,
        ThemeChoice::Dark => ThemePreference::Dark,
    });
}
