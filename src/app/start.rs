//! Starting the window: what must be there is looked for first, and what is missing is said in plain words with the
//! line that installs it. Nothing of the window is touched before.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

use super::background::Report;
use super::{App, preferences::Preferences, theme};

const PACKAGES: &str = "apt-get install -y --no-install-recommends libx11-6 libx11-xcb1 libxcursor1 libxi6 \
    libxkbcommon-x11-0 libgl1 libegl1 libgl1-mesa-dri libwayland-client0 libwayland-egl1";

/// Whether the window has come up: faults from then on are told differently.
static IS_UP: AtomicBool = AtomicBool::new(false);

/// Opens the window on a book, or on the first page, and returns when it is closed.
///
/// # Errors
/// One plain message when there is no display, or the window cannot come up.
pub fn run(book: Option<&Path>) -> Result<(), String> {
    let has_display = ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET"]
        .iter()
        .any(|name| std::env::var_os(name).is_some_and(|value| !value.is_empty()));
    if !has_display {
        return Err(
            "there is no display to open a window on; use the verbs instead (see deckle --help)"
                .to_owned(),
        );
    }
    tell_faults_plainly();
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title("Deckle")
            .with_app_id("deckle")
            .with_inner_size([1240.0, 820.0])
            .with_min_inner_size([900.0, 600.0]),
        renderer: eframe::Renderer::Glow,
        ..eframe::NativeOptions::default()
    };
    // Two of the libraries the window needs end in a fault instead of an error when they are missing.
    let outcome = catch_unwind(AssertUnwindSafe(|| {
        eframe::run_native(
            "deckle",
            options,
            Box::new(|cc| Ok(Box::new(begin(&cc.egui_ctx, book)))),
        )
    }));
    match outcome {
        Ok(Ok(())) => Ok(()),
        Ok(Err(error)) => Err(cannot_come_up(&error.to_string())),
        Err(_fault) if IS_UP.load(Ordering::Relaxed) => Err(
            "Deckle ran into a fault of its own and had to stop; what was written down is safe in the book".to_owned(),
        ),
        Err(_fault) => Err(cannot_come_up("a library is missing")),
    }
}

fn cannot_come_up(why: &str) -> String {
    let short: String = why.chars().take(160).collect();
    format!(
        "the window cannot come up ({short}). On Debian and its kin this installs what it needs: {PACKAGES}"
    )
}

/// A fault is said in one line; the place is for a report, not for the owner.
fn tell_faults_plainly() {
    std::panic::set_hook(Box::new(|fault| {
        if IS_UP.load(Ordering::Relaxed) {
            let place = fault
                .location()
                .map(ToString::to_string)
                .unwrap_or_default();
            eprintln!("deckle: a fault at {place}");
        }
    }));
}

fn begin(ctx: &egui::Context, book: Option<&Path>) -> App {
    IS_UP.store(true, Ordering::Relaxed);
    theme::install(ctx);
    ctx.options_mut(|options| {
        options.fallback_theme = egui::Theme::Light;
        // The window has its own scale, kept within 80 and 250 per cent and remembered.
        options.zoom_with_keyboard = false;
    });
    let mut app = App::new(Preferences::load(), || chrono::Local::now().date_naive());
    if let Some(path) = book {
        app.open(ctx, path);
    }
    app
}

/// Writes a fresh copy of the sample book into a folder of its own and opens it.
pub(super) fn sample() -> Report {
    match crate::verbs::fresh_sample() {
        Ok(book) => Report::Opened(Ok(Box::new(book))),
        Err(error) => Report::Done(Err(super::sentence(&error.line()))),
    }
}
