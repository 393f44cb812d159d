//! Reads out of an error text what the window misses on this system.
//!
//! Everything that the window needs is loaded while the program runs, so a missing library is known only by what winit,
//! glutin and the system's loader say about it. The texts in the tests were seen on Debian 12, with one library hidden at a
//! time from a minimal system (winit 0.30.13, glutin 0.32.3, xkbcommon-dl 0.4.2).

/// A library that is loaded while the program runs, by the loader's name for it, and the Debian 12 package that holds it.
type Library = (&'static str, &'static str);

const LIBRARIES: [Library; 18] = [
    ("libEGL", "libegl1"),
    ("libGL", "libgl1"),
    ("libGLdispatch", "libglvnd0"),
    ("libX11", "libx11-6"),
    ("libX11-xcb", "libx11-xcb1"),
    ("libXau", "libxau6"),
    ("libXcursor", "libxcursor1"),
    ("libXdmcp", "libxdmcp6"),
    ("libXext", "libxext6"),
    ("libXfixes", "libxfixes3"),
    ("libXi", "libxi6"),
    ("libXrender", "libxrender1"),
    ("libwayland-client", "libwayland-client0"),
    ("libwayland-egl", "libwayland-egl1"),
    ("libxcb", "libxcb1"),
    ("libxcb-xkb", "libxcb-xkb1"),
    ("libxkbcommon", "libxkbcommon0"),
    ("libxkbcommon-x11", "libxkbcommon-x11-0"),
];

/// What stands after a file's name when it can't be loaded: the loader's words, and those of xkbcommon-dl.
const NOT_LOADED: [&str; 2] = [": cannot open shared object file", " could not be loaded"];
/// Other words, all of which stand in a text, and the library that they tell of.
const OTHER_WORDS: [(&[&str], &str); 2] = [
    (&["NoWaylandLib"], "libwayland-client"),
    // glutin says no more when neither libEGL nor libGL is there.
    (&["NoGlutinConfigs", "kind: NotFound"], "libEGL"),
];
/// What glutin and eframe say when libEGL is there and no driver answers.
const NO_DRIVER: [&str; 3] = ["NoGlutinConfigs", "Glutin(", "creating glutin config"];
/// What winit says when there is no display, or none that answers.
const NO_DISPLAY: [&str; 3] = [
    "XOpenDisplayFailed",
    "NoCompositor",
    "neither WAYLAND_DISPLAY nor WAYLAND_SOCKET nor DISPLAY",
];

/// Why the window did not open and what to do, in one line. `None` when `text` tells of nothing that is known here.
///
/// `text` is the debug text of an error of eframe, or the message of a panic in its libraries.
pub fn reason(text: &str) -> Option<String> {
    let tells_of = |said: &[&str]| said.iter().any(|words| text.contains(words));
    if let Some(library) = missing_library(text) {
        let package = LIBRARIES.iter().find(|(name, _)| *name == library);
        let where_from = package.map_or_else(String::new, |(_, package)| {
            format!(" (on Debian: {package})")
        });
        Some(format!(
            "the library {library} is missing; install it{where_from}"
        ))
    } else if tells_of(&NO_DRIVER) {
        Some(
            "there is no OpenGL driver; install one (on Debian: libegl-mesa0, libgl1-mesa-dri)"
                .to_owned(),
        )
    } else if tells_of(&NO_DISPLAY) {
        Some(
            "no display answers; start it from a desktop, or set DISPLAY or WAYLAND_DISPLAY"
                .to_owned(),
        )
    } else {
        None
    }
}

/// The library whose absence `text` tells of, without ending and version; the first one if it tells of several.
pub fn missing_library(text: &str) -> Option<&str> {
    let by_file = NOT_LOADED
        .iter()
        .find_map(|words| library_before(text, words));
    let by_words = || {
        OTHER_WORDS
            .iter()
            .find(|(words, _)| words.iter().all(|word| text.contains(word)))
    };
    by_file.or_else(|| by_words().map(|(_, library)| *library))
}

/// The name of the library file that stands right before `words`.
fn library_before<'a>(text: &'a str, words: &str) -> Option<&'a str> {
    let (before, _) = text.split_once(words)?;
    let is_outside = |letter: char| letter.is_whitespace() || "/(\"".contains(letter);
    let file = before.rsplit(is_outside).next()?;
    file.split_once(".so").map(|(name, _)| name)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::missing_assert_message, clippy::unwrap_used, reason = "tests")]
    use super::*;

    const NO_X11: &str = r#"WinitEventLoop(Os(OsError { line: 788, file: "winit-0.30.13/src/platform_impl/linux/mod.rs", error: XNotSupported(LibraryOpenError(OpenError { kind: Library, detail: "opening library failed (libX11.so.6: cannot open shared object file: No such file or directory); opening library failed (libX11.so: cannot open shared object file: No such file or directory)" })) }))"#;
    const NO_X11_XCB: &str = r#"XNotSupported(LibraryOpenError(OpenError { kind: Library, detail: "opening library failed (libX11-xcb.so.1: cannot open shared object file: No such file or directory); opening library failed (libX11-xcb.so: cannot open shared object file: No such file or directory)" }))"#;
    const NO_XRENDER: &str = r#"XNotSupported(LibraryOpenError(OpenError { kind: Library, detail: "opening library failed (libXrender.so.1: cannot open shared object file: No such file or directory); opening library failed (libXcursor.so: cannot open shared object file: No such file or directory)" }))"#;
    const NO_XKB: &str =
        "Library libxkbcommon-x11.so could not be loaded. (xkbcommon-dl-0.4.2/src/x11.rs:59:28)";
    const NO_EGL: &str = "NoGlutinConfigs(ConfigTemplate { api: None, transparency: false }, Error { raw_code: None, raw_os_message: None, kind: NotFound })";
    const NO_EGL_VENDOR: &str = r#"NoGlutinConfigs(ConfigTemplate { api: None }, Error { raw_code: None, raw_os_message: None, kind: NotSupported("failed to create EGLDisplay without a reason") })"#;
    const NO_DRI: &str = "NoGlutinConfigs(ConfigTemplate { api: None }, Error { raw_code: Some(12289), raw_os_message: None, kind: InitializationFailed })";
    const NO_X_SERVER: &str = r#"WinitEventLoop(Os(OsError { line: 788, file: "winit-0.30.13/src/platform_impl/linux/mod.rs", error: XNotSupported(XOpenDisplayFailed) }))"#;
    const NO_WAYLAND_SERVER: &str = r#"WinitEventLoop(Os(OsError { line: 89, file: "winit-0.30.13/src/platform_impl/linux/wayland/event_loop/mod.rs", error: WaylandError(Connection(NoCompositor)) }))"#;
    const NO_WAYLAND: &str = r#"WinitEventLoop(Os(OsError { line: 89, file: "winit-0.30.13/src/platform_impl/linux/wayland/event_loop/mod.rs", error: WaylandError(Connection(NoWaylandLib)) }))"#;

    #[test]
    fn missing_library_is_named_with_its_package() {
        for (text, library, package) in [
            (NO_X11, "libX11", "libx11-6"),
            (NO_X11_XCB, "libX11-xcb", "libx11-xcb1"),
            (NO_XRENDER, "libXrender", "libxrender1"),
            (NO_XKB, "libxkbcommon-x11", "libxkbcommon-x11-0"),
            (NO_EGL, "libEGL", "libegl1"),
            (NO_WAYLAND, "libwayland-client", "libwayland-client0"),
        ] {
            assert_eq!(missing_library(text), Some(library));
            let expected =
                format!("the library {library} is missing; install it (on Debian: {package})");
            assert_eq!(reason(text).unwrap(), expected);
        }
    }

    #[test]
    fn missing_driver_is_told_from_a_missing_library() {
        for text in [NO_EGL_VENDOR, NO_DRI] {
            assert_eq!(missing_library(text), None);
            assert!(reason(text).unwrap().contains("libgl1-mesa-dri"));
        }
    }

    #[test]
    fn display_that_does_not_answer_is_told() {
        for text in [NO_X_SERVER, NO_WAYLAND_SERVER] {
            assert!(reason(text).unwrap().starts_with("no display answers"));
        }
    }

    #[test]
    fn library_of_no_known_package_is_named_all_the_same() {
        let text = "libnew.so.2: cannot open shared object file: No such file or directory";
        assert_eq!(
            reason(text).unwrap(),
            "the library libnew is missing; install it"
        );
    }

    #[test]
    fn other_faults_are_not_explained_away() {
        assert_eq!(reason("AppCreation(\"out of memory\")"), None);
    }
}
