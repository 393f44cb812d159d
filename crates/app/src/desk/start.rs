//! Opening the window, and saying in one line why it can't be opened.
//!
//! winit, glutin and xkbcommon answer a missing library or display with an error here and a panic there; both end as one
//! line on stderr and exit code 1.

use std::{
    any::Any,
    env,
    io::{self, Write},
    panic::{self, AssertUnwindSafe, PanicHookInfo},
    path::PathBuf,
    process::ExitCode,
    sync::{Arc, Mutex, PoisonError},
    thread,
};

use eframe::{
    AppCreator, NativeOptions, Renderer, egui::ViewportBuilder, icon_data::from_png_bytes,
};

use super::{missing_libraries, workbench::WorkbenchApp};

/// Names the program to the desktop: window class, folder of preferences, desktop entry.
pub(super) const APP_ID: &str = "chaffinch";
/// The program's icon.
const ICON_PNG: &[u8] = include_bytes!("../../../../assets/icon/chaffinch-256.png");
/// Size of the window at the first start, in points.
const FIRST_SIZE_PX: [f32; 2] = [1280.0, 800.0];
/// Smallest size of the window, in points.
const LEAST_SIZE_PX: [f32; 2] = [800.0, 560.0];
/// Variable that, when it is set, lets warnings of the file chooser through to stderr.
const LOG_VARIABLE: &str = "CHAFFINCH_LOG";
/// Variables one of which tells where a window can be opened; an empty one counts as missing.
const DISPLAY_VARIABLES: [&str; 3] = ["WAYLAND_DISPLAY", "WAYLAND_SOCKET", "DISPLAY"];

/// Opens the window on `file`, or on what the workbench shows without one, and returns when it is closed.
///
/// Exit code 0, or 1 when the window can't be opened; stderr then says why, and which command does the same job without one.
pub fn start(file: Option<PathBuf>) -> ExitCode {
    run(Box::new(move |cc| {
        Ok(Box::new(WorkbenchApp::new(cc, file.as_deref())))
    }))
}

/// The same with any app in the window.
pub fn run(create: AppCreator<'static>) -> ExitCode {
    if env::var_os(LOG_VARIABLE).is_some() {
        log_file_chooser();
    }
    if needs_display() && !has_display() {
        return refuse("there is no display to open a window on");
    }
    match quietly(|| eframe::run_native(APP_ID, options(), create)) {
        Ok(Ok(())) => ExitCode::SUCCESS,
        Ok(Err(error)) => {
            let said = format!("{error:?}");
            refuse(
                &missing_libraries::reason(&said).unwrap_or_else(|| one_line(&error.to_string())),
            )
        }
        Err(said) => {
            if let Some(reason) = missing_libraries::reason(&said) {
                return refuse(&reason);
            }
            say(&format!(
                "chaffinch: stopped by a fault of the program: {}",
                one_line(&said)
            ));
            ExitCode::FAILURE
        }
    }
}

fn options() -> NativeOptions {
    let mut viewport = ViewportBuilder::default()
        .with_app_id(APP_ID)
        .with_title("Chaffinch")
        .with_inner_size(FIRST_SIZE_PX)
        .with_min_inner_size(LEAST_SIZE_PX)
        .with_drag_and_drop(true);
    // A picture that can't be read leaves the desktop's own icon.
    if let Ok(icon) = from_png_bytes(ICON_PNG) {
        viewport = viewport.with_icon(icon);
    }
    NativeOptions {
        viewport,
        renderer: Renderer::Glow,
        ..NativeOptions::default()
    }
}

/// rfd tells of a missing portal only through `log`.
fn log_file_chooser() {
    let built = env_logger::Builder::new()
        .filter_module("rfd", log::LevelFilter::Warn)
        .try_init();
    if let Err(error) = built {
        say(&format!("chaffinch: no log: {error}"));
    }
}

fn needs_display() -> bool {
    cfg!(all(unix, not(target_os = "macos")))
}

fn has_display() -> bool {
    DISPLAY_VARIABLES
        .iter()
        .any(|name| env::var_os(name).is_some_and(|value| !value.is_empty()))
}

/// Runs `open`; a panic in this thread becomes its message and place instead of a report on stderr.
fn quietly<T>(open: impl FnOnce() -> T) -> Result<T, String> {
    let said = Arc::new(Mutex::new(String::new()));
    let (heard, here) = (Arc::clone(&said), thread::current().id());
    let before = Arc::new(panic::take_hook());
    let for_others = Arc::clone(&before);
    panic::set_hook(Box::new(move |panicked| {
        if thread::current().id() == here {
            *heard.lock().unwrap_or_else(PoisonError::into_inner) = message(panicked);
        } else {
            for_others(panicked);
        }
    }));
    let result = panic::catch_unwind(AssertUnwindSafe(open));
    panic::set_hook(Box::new(move |panicked| before(panicked)));
    result.map_err(|_: Box<dyn Any + Send>| {
        said.lock().unwrap_or_else(PoisonError::into_inner).clone()
    })
}

fn message(panicked: &PanicHookInfo<'_>) -> String {
    let text = panicked.payload_as_str().unwrap_or("no message");
    let place = panicked
        .location()
        .map(ToString::to_string)
        .unwrap_or_default();
    format!("{text} ({place})")
}

fn refuse(reason: &str) -> ExitCode {
    say(&format!(
        "chaffinch: the window can't be opened: {reason}; without a window, use: chaffinch export PLAN -o FILE"
    ));
    ExitCode::FAILURE
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn say(line: &str) {
    // A closed stderr leaves nobody to tell.
    let _ = writeln!(io::stderr(), "{line}");
}
