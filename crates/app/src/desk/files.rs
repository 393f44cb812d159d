//! Files of the window: asking for paths without blocking, reading, saving, exporting.
//!
//! The system's file chooser is a future that is polled once a frame; its waker asks for the next frame. Reading and
//! writing are shelf's; what goes wrong becomes a dialog that says what happened, and the plan stays as it is.

use std::{
    fmt,
    future::Future,
    path::{Path, PathBuf},
    pin::Pin,
    sync::Arc,
    task::{Context as TaskContext, Poll, Wake, Waker},
    time::{Duration, Instant},
};

use chaffinch_craft::Plan;
use chaffinch_shelf::{FileStamp, Opened, ShelfError, has_changed, save_plan, suggested_file_name};
use eframe::egui::Context;

use super::{
    ask::Ask,
    dialogs::{Dialog, PathPurpose, Trouble},
};

/// A chooser that comes back with nothing sooner than a person could dismiss it was never shown. A busy computer takes a while to say so,
/// and then nothing would come of the click.
const QUICKEST_CANCEL: Duration = Duration::from_millis(500);

/// Kind of file that is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// A plan of this program.
    Plan,
    /// The neutral JSON.
    NeutralJson,
    /// Samples as CSV.
    Csv,
    /// A plan or a neutral JSON file, for opening.
    PlanOrNeutral,
    /// Targets to shape by.
    Targets,
}

impl FileKind {
    /// Name of the kind for the chooser's list, and its extensions; the first is given to names without one.
    fn filter(self) -> (&'static str, &'static [&'static str]) {
        match self {
            Self::Plan => ("Chaffinch plan", &["ron"]),
            Self::NeutralJson => ("Neutral JSON", &["json"]),
            Self::Csv => ("Samples as CSV", &["csv"]),
            Self::Targets => ("Targets", &["ron"]),
            Self::PlanOrNeutral => ("Plans and neutral JSON", &["ron", "json"]),
        }
    }
}

/// A path that is wanted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Request {
    /// What for.
    pub purpose: PathPurpose,
    /// What kind of file.
    pub kind: FileKind,
    /// Folder to begin in; the system's choice otherwise.
    pub folder: Option<PathBuf>,
    /// Name to begin with; empty when a file is opened.
    pub name: String,
}

impl Request {
    /// Asks for a file to open, or to lay behind the curve. `beside` is the plan's file.
    pub fn to_read(purpose: PathPurpose, beside: Option<&Path>) -> Self {
        Self {
            purpose,
            kind: FileKind::PlanOrNeutral,
            folder: folder_of(beside),
            name: String::new(),
        }
    }

    /// Asks where to write a plan titled `title`. `beside` is the plan's file.
    pub fn to_write(
        purpose: PathPurpose,
        kind: FileKind,
        title: &str,
        beside: Option<&Path>,
    ) -> Self {
        Self {
            purpose,
            kind,
            folder: folder_of(beside),
            name: suggested_file_name(title, kind.filter().1[0]),
        }
    }

    /// The path to begin with when it is typed by hand.
    fn typed(&self) -> String {
        let folder = self
            .folder
            .clone()
            .or_else(std::env::home_dir)
            .unwrap_or_default();
        folder.join(&self.name).display().to_string()
    }

    fn heading(&self) -> &'static str {
        match (self.purpose, self.kind) {
            (PathPurpose::Open, _) => "Open a plan",
            (PathPurpose::Save, _) => "Save the plan",
            (PathPurpose::Export, FileKind::Csv) => "Export samples as CSV",
            (PathPurpose::Export, _) => "Export neutral JSON",
            (PathPurpose::Pin, _) => "Lay a plan behind",
            (PathPurpose::Sheet(kind), _) => kind.heading(),
            (PathPurpose::TakeTargets, _) => "Take targets from a file",
            (PathPurpose::KeepTargets, _) => "Save the targets",
        }
    }

    fn ask(self, path: PathBuf) -> Ask {
        let is_written = self.purpose.is_written();
        let full = with_extension(&path, self.kind);
        // The chooser asked about replacing the name that was typed, not the one with the extension.
        if is_written && full != path && full.exists() {
            let (purpose, typed) = (self.purpose, full.display().to_string());
            return Ask::Open(Dialog::Path { purpose, typed });
        }
        ask_for(self.purpose, if is_written { full } else { path })
    }
}

/// What is asked of the workbench once the path for `purpose` is known.
pub fn ask_for(purpose: PathPurpose, path: PathBuf) -> Ask {
    match purpose {
        PathPurpose::Open => Ask::OpenFile(path),
        PathPurpose::Save => Ask::SaveTo(path),
        PathPurpose::Export => Ask::ExportTo(path),
        PathPurpose::Pin => Ask::PinFile(path),
        PathPurpose::Sheet(kind) => Ask::TakeSheet(kind, path),
        PathPurpose::TakeTargets => Ask::TakeTargets(path),
        PathPurpose::KeepTargets => Ask::KeepTargets(path),
    }
}

/// What a file chooser came back with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// A path.
    Path(PathBuf),
    /// The user thought better of it.
    Cancelled,
    /// This system has no file chooser.
    NoChooser,
}

/// An answer that comes later.
pub type Pending = Pin<Box<dyn Future<Output = Answer>>>;

/// Something that asks the user for a path.
pub trait PathChooser {
    /// Starts asking.
    fn choose(&mut self, request: &Request) -> Pending;
}

/// The system's own file chooser.
#[derive(Clone, Default)]
pub struct NativeChooser {
    /// A dialog without filters that belongs to the window.
    bare: rfd::AsyncFileDialog,
}

impl NativeChooser {
    /// A chooser whose dialogs stand before the window of `cc`.
    pub fn new(cc: &eframe::CreationContext<'_>) -> Self {
        Self {
            bare: rfd::AsyncFileDialog::new().set_parent(cc),
        }
    }
}

impl PathChooser for NativeChooser {
    fn choose(&mut self, request: &Request) -> Pending {
        let (kind, extensions) = request.kind.filter();
        let mut dialog = self
            .bare
            .clone()
            .set_title(request.heading())
            .add_filter(kind, extensions);
        if let Some(folder) = &request.folder {
            dialog = dialog.set_directory(folder);
        }
        let is_read = !request.purpose.is_written();
        if !is_read {
            dialog = dialog.set_file_name(&request.name);
        }
        Box::pin(async move {
            let asked = Instant::now();
            let chosen = if is_read {
                dialog.pick_file().await
            } else {
                dialog.save_file().await
            };
            match chosen {
                Some(file) => Answer::Path(file.path().to_owned()),
                None if asked.elapsed() < QUICKEST_CANCEL => Answer::NoChooser,
                None => Answer::Cancelled,
            }
        })
    }
}

/// Asks for paths, one at a time.
pub struct Files {
    chooser: Box<dyn PathChooser>,
    open: Option<(Request, Pending)>,
}

impl fmt::Debug for Files {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let request = self.open.as_ref().map(|(request, _)| request);
        f.debug_struct("Files")
            .field("open", &request)
            .finish_non_exhaustive()
    }
}

impl Files {
    /// Asks by way of `chooser`.
    pub fn new(chooser: Box<dyn PathChooser>) -> Self {
        Self {
            chooser,
            open: None,
        }
    }

    /// Starts asking; the answer comes out of [`Files::poll`]. While one chooser is open, another isn't opened.
    pub fn choose(&mut self, request: Request, ctx: &Context) {
        if self.open.is_none() {
            let pending = self.chooser.choose(&request);
            self.open = Some((request, pending));
            ctx.request_repaint();
        }
    }

    /// Whether a chooser is open.
    pub fn is_choosing(&self) -> bool {
        self.open.is_some()
    }

    /// What the user chose since the last frame, as an ask. Call it once a frame.
    ///
    /// Without a file chooser on the system this is the dialog in which the path is typed.
    pub fn poll(&mut self, ctx: &Context) -> Option<Ask> {
        let (_, pending) = self.open.as_mut()?;
        let waker = Waker::from(Arc::new(NextFrame(ctx.clone())));
        let Poll::Ready(answer) = pending.as_mut().poll(&mut TaskContext::from_waker(&waker))
        else {
            return None;
        };
        let (request, _) = self.open.take()?;
        match answer {
            Answer::Path(path) => Some(request.ask(path)),
            Answer::Cancelled => Some(Ask::NothingChosen),
            Answer::NoChooser => {
                let typed = request.typed();
                let purpose = request.purpose;
                Some(Ask::Open(Dialog::Path { purpose, typed }))
            }
        }
    }
}

/// Wakes the window instead of a thread.
struct NextFrame(Context);

impl Wake for NextFrame {
    fn wake(self: Arc<Self>) {
        self.0.request_repaint();
    }
}

/// Reads a plan file or a neutral JSON file: the plan, what the file was like for [`save`], and what an older file had to give up.
///
/// # Errors
/// [`Trouble`] to be shown: the file can't be read, is too large, or holds no plan.
pub fn open_plan(path: &Path) -> Result<Opened, Trouble> {
    chaffinch_shelf::open(path).map_err(|error| trouble("The file was not opened", &error, false))
}

/// Saves `plan` at `path`. `known` is what the file was like when it was opened or saved last; `None` overwrites.
///
/// # Errors
/// The dialog to open: the file was changed by somebody else meanwhile, or it can't be written. It is untouched then.
pub fn save(plan: &Plan, path: &Path, known: Option<&FileStamp>) -> Result<FileStamp, Dialog> {
    let failed = |error| Dialog::Trouble(trouble("The plan was not saved", &error, true));
    // A file that is gone is simply written anew.
    if let Some(stamp) = known
        && path.exists()
        && has_changed(path, stamp).map_err(failed)?
    {
        return Err(Dialog::ChangedOnDisk(path.to_owned()));
    }
    save_plan(plan, path).map_err(failed)
}

/// Exports `plan` to `path`; the extension says the format.
///
/// # Errors
/// [`Trouble`] to be shown; what was there before is untouched.
pub fn export(plan: &Plan, path: &Path) -> Result<(), Trouble> {
    let exported = chaffinch_shelf::export(plan, path);
    exported
        .map(|_| ())
        .map_err(|error| trouble("The plan was not exported", &error, false))
}

/// `path` if a plan can be saved there again: a neutral JSON file that was opened is not written over.
pub fn plan_file(path: &Path) -> Option<&Path> {
    has_extension(path, &["ron"]).then_some(path)
}

/// `path` with the extension of `kind`, unless it has it.
pub fn with_extension(path: &Path, kind: FileKind) -> PathBuf {
    let (_, extensions) = kind.filter();
    if has_extension(path, extensions) {
        return path.to_owned();
    }
    let mut name = path.as_os_str().to_owned();
    name.push(".");
    name.push(extensions[0]);
    PathBuf::from(name)
}

/// Whether the path ends in one of `extensions`, in capital letters or not.
pub fn has_extension(path: &Path, extensions: &[&str]) -> bool {
    let found = path.extension().unwrap_or_default();
    extensions
        .iter()
        .any(|extension| found.eq_ignore_ascii_case(extension))
}

fn folder_of(file: Option<&Path>) -> Option<PathBuf> {
    let folder = file?.parent()?;
    (!folder.as_os_str().is_empty()).then(|| folder.to_owned())
}

fn trouble(heading: &str, error: &ShelfError, offers_save_as: bool) -> Trouble {
    let text = error.to_string();
    let mut letters = text.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    Trouble {
        heading: heading.to_owned(),
        text: first.chain(letters).collect(),
        offers_save_as,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::missing_assert_message, clippy::unwrap_used, reason = "tests")]
    use super::*;
    use std::{collections::VecDeque, fs, future};

    /// Answers as it was told to, in this order; then never.
    struct Scripted(VecDeque<Answer>);

    impl PathChooser for Scripted {
        fn choose(&mut self, _: &Request) -> Pending {
            match self.0.pop_front() {
                Some(answer) => Box::pin(future::ready(answer)),
                None => Box::pin(future::pending()),
            }
        }
    }

    fn scripted<const N: usize>(answers: [Answer; N]) -> Files {
        Files::new(Box::new(Scripted(answers.into())))
    }

    fn to_save(folder: &Path) -> Request {
        let beside = folder.join("plan.ron");
        Request::to_write(
            PathPurpose::Save,
            FileKind::Plan,
            "Mesa Ridge",
            Some(&beside),
        )
    }

    fn answered(answer: Answer, request: Request) -> Option<Ask> {
        let ctx = Context::default();
        let mut files = scripted([answer]);
        files.choose(request, &ctx);
        let ask = files.poll(&ctx);
        assert!(!files.is_choosing());
        ask
    }

    #[test]
    fn chosen_name_gets_its_extension() {
        let folder = tempfile::tempdir().unwrap();
        let chosen = Answer::Path(folder.path().join("mesa"));
        match answered(chosen, to_save(folder.path())) {
            Some(Ask::SaveTo(path)) => assert_eq!(path, folder.path().join("mesa.ron")),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn extension_never_replaces_a_file_unasked() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("mesa.ron"), "another plan").unwrap();
        let chosen = Answer::Path(folder.path().join("mesa"));
        match answered(chosen, to_save(folder.path())) {
            Some(Ask::Open(Dialog::Path { typed, .. })) => assert!(typed.ends_with("mesa.ron")),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn without_a_chooser_the_path_is_typed_from_the_suggested_name() {
        let folder = tempfile::tempdir().unwrap();
        match answered(Answer::NoChooser, to_save(folder.path())) {
            Some(Ask::Open(Dialog::Path { purpose, typed })) => {
                assert_eq!(purpose, PathPurpose::Save);
                assert_eq!(Path::new(&typed), folder.path().join("mesa-ridge.ron"));
            }
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn cancelled_choice_is_told() {
        let request = Request::to_read(PathPurpose::Open, None);
        let ask = answered(Answer::Cancelled, request);
        assert!(matches!(ask, Some(Ask::NothingChosen)), "{ask:?}");
    }

    #[test]
    fn open_chooser_is_waited_for_and_not_doubled() {
        let ctx = Context::default();
        let mut files = scripted([]);
        files.choose(Request::to_read(PathPurpose::Open, None), &ctx);
        assert!(files.poll(&ctx).is_none() && files.is_choosing());
        files.choose(Request::to_read(PathPurpose::Pin, None), &ctx);
        let (request, _) = files.open.as_ref().unwrap();
        assert_eq!(request.purpose, PathPurpose::Open);
    }

    #[test]
    fn file_changed_by_somebody_else_is_not_saved_over_unasked() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("mesa.ron");
        let plan = Plan::fresh();
        let stamp = save(&plan, &path, None).unwrap();
        assert!(save(&plan, &path, Some(&stamp)).is_ok());
        fs::write(&path, "theirs").unwrap();
        let refused = save(&plan, &path, Some(&stamp)).unwrap_err();
        assert_eq!(refused, Dialog::ChangedOnDisk(path.clone()));
        assert_eq!(fs::read_to_string(&path).unwrap(), "theirs");
        save(&plan, &path, None).unwrap();
        assert_eq!(open_plan(&path).unwrap().plan, plan);
    }

    #[test]
    fn failed_save_says_what_happened_and_offers_another_place() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("nowhere").join("mesa.ron");
        match save(&Plan::fresh(), &path, None) {
            Err(Dialog::Trouble(trouble)) => {
                assert!(trouble.offers_save_as);
                assert!(
                    trouble.text.starts_with("The file can't be written"),
                    "{}",
                    trouble.text
                );
                assert!(trouble.text.ends_with("mesa.ron"), "{}", trouble.text);
            }
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn neutral_file_that_was_opened_is_not_the_plans_home() {
        assert_eq!(plan_file(Path::new("a.json")), None);
        assert_eq!(plan_file(Path::new("a.RON")), Some(Path::new("a.RON")));
        assert_eq!(
            with_extension(Path::new("a.json"), FileKind::Plan),
            Path::new("a.json.ron")
        );
    }
}
