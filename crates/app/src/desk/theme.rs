//! Colours, type, spacing and radii of the window, and how egui's own style is mapped onto them.
//!
//! The only file with colour literals. The palette is the project's own (ink on paper, chalk on slate); every pair that
//! may share a lane is checked for contrast and for difference under simulated colour blindness by `tests/tests/palette.rs`.
#![allow(
    clippy::unreadable_literal,
    reason = "colours are read as six hexadecimal digits"
)]

use std::sync::Arc;

use chaffinch_craft::Severity;
use eframe::egui::{
    Color32, Context, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Margin,
    RichText, Shadow, Stroke, Style, TextStyle, Theme, Ui, Visuals,
    style::{ScrollStyle, WidgetVisuals},
    vec2,
};

/// Corner radii in points, by kind of surface; lanes and the phase strip have none.
pub mod radius {
    /// Check box and small swatches.
    pub const CHECK: u8 = 3;
    /// Field and tab.
    pub const FIELD: u8 = 4;
    /// Button and readout.
    pub const BUTTON: u8 = 6;
    /// Card.
    pub const CARD: u8 = 8;
}

/// Distances in points on a grid of four.
pub mod space {
    /// Between things that belong together.
    pub const TIGHT: f32 = 4.0;
    /// Between neighbours.
    pub const NEAR: f32 = 8.0;
    /// Inside cards.
    pub const INNER: f32 = 12.0;
    /// Between groups.
    pub const WIDE: f32 = 16.0;
    /// Height of a field, button or segment.
    pub const CONTROL_HEIGHT: f32 = 24.0;
    /// Height of one row of a sheet.
    pub const ROW_HEIGHT: f32 = 28.0;
}

/// Longest time in seconds that a hover or a fold may take.
pub const MOTION_S: f32 = 0.12;

/// Share of the text colour laid over a ground that the pointer is on.
const HOVER_SHARE: f32 = 0.06;
/// Share of the text colour laid over a ground that is pressed.
const PRESSED_SHARE: f32 = 0.12;

/// Every colour of the window for one theme, by role.
#[derive(Debug)]
pub struct Palette {
    /// Behind everything.
    pub desk: Color32,
    /// Columns, bars, lane gutter.
    pub panel: Color32,
    /// Cards, buttons, readouts.
    pub raised: Color32,
    /// Lane ground.
    pub chart: Color32,
    /// Editable value.
    pub field: Color32,
    /// Rules and grid; decorative.
    pub hairline: Color32,
    /// Borders of fields, buttons and lanes.
    pub control: Color32,
    /// Body text and values.
    pub text: Color32,
    /// Labels, axis numbers.
    pub text2: Color32,
    /// Units, hints.
    pub text3: Color32,
    /// Drawn curve, handles, boundaries: ink.
    pub setpoint: Color32,
    /// Forecast line and spread: iris.
    pub forecast: Color32,
    /// Rate of rise: moss.
    pub rate: Color32,
    /// Heater effort: clay.
    pub heater: Color32,
    /// Air effort: pool.
    pub air: Color32,
    /// Marks and limits: stone.
    pub mark: Color32,
    /// First log: slate.
    pub log1: Color32,
    /// Second log: straw.
    pub log2: Color32,
    /// Third log: bark, rose clay in the dark.
    pub log3: Color32,
    /// Fourth log: spruce.
    pub log4: Color32,
    /// Note glyph and bracket.
    pub note: Color32,
    /// Note heading.
    pub note_text: Color32,
    /// Caution glyph and bracket: saffron.
    pub caution: Color32,
    /// Caution heading.
    pub caution_text: Color32,
    /// Stop glyph and bracket: madder.
    pub stop: Color32,
    /// Stop heading.
    pub stop_text: Color32,
    /// Focus ring, links, saved dot: fir.
    pub accent: Color32,
    /// Text on accent.
    pub on_accent: Color32,
    /// Core of a selected handle: yolk.
    pub select: Color32,
    /// Primary button, selected segment.
    pub chip: Color32,
    /// Text on chip.
    pub on_chip: Color32,
    /// Lane tint of drying at full strength; see [`Palette::lane_tint`].
    pub drying: Color32,
    /// Lane tint of browning at full strength.
    pub browning: Color32,
    /// Lane tint of development at full strength.
    pub development: Color32,
    /// Phase strip and table swatch of drying.
    pub drying_strip: Color32,
    /// Phase strip and table swatch of browning.
    pub browning_strip: Color32,
    /// Phase strip and table swatch of development.
    pub development_strip: Color32,
    /// Forecast spread, outer.
    pub band_outer: Color32,
    /// Forecast spread, inner.
    pub band_inner: Color32,
    /// Share of a lane tint over the chart ground, in percent.
    tint_percent: u8,
    /// Share of ink in the reach hatch, in percent.
    hatch_percent: u8,
}

impl Palette {
    /// Ink on paper.
    pub const LIGHT: Self = Self {
        desk: rgb(0xE9E5DB),
        panel: rgb(0xF4F1EA),
        raised: rgb(0xFCFAF6),
        chart: rgb(0xFCFAF5),
        field: rgb(0xFFFFFF),
        hairline: rgb(0xDAD4C7),
        control: rgb(0x857F71),
        text: rgb(0x1B242B),
        text2: rgb(0x454C50),
        text3: rgb(0x62665F),
        setpoint: rgb(0x12293A),
        forecast: rgb(0x60369D),
        rate: rgb(0x4F5603),
        heater: rgb(0x8D3A11),
        air: rgb(0x01333C),
        mark: rgb(0x81826B),
        log1: rgb(0x5385B9),
        log2: rgb(0x9B7E09),
        log3: rgb(0x431D16),
        log4: rgb(0x4B6565),
        note: rgb(0x4D809A),
        note_text: rgb(0x2F5F77),
        caution: rgb(0xA76C0C),
        caution_text: rgb(0x7C4C00),
        stop: rgb(0x960C2B),
        stop_text: rgb(0x8A0B28),
        accent: rgb(0x1F5F50),
        on_accent: rgb(0xFCFAF6),
        select: rgb(0xF0B93A),
        chip: rgb(0x12293A),
        on_chip: rgb(0xFCFAF6),
        drying: rgb(0xF8F5EE),
        browning: rgb(0xF2EEE6),
        development: rgb(0xECE8DF),
        drying_strip: rgb(0xF0ECE3),
        browning_strip: rgb(0xE5E0D5),
        development_strip: rgb(0xD9D3C6),
        band_outer: rgb(0xF3EFF6),
        band_inner: rgb(0xE9E2F2),
        tint_percent: 50,
        hatch_percent: 30,
    };

    /// Chalk on slate.
    pub const DARK: Self = Self {
        desk: rgb(0x0D1114),
        panel: rgb(0x161B1F),
        raised: rgb(0x1E2429),
        chart: rgb(0x11161A),
        field: rgb(0x0F1417),
        hairline: rgb(0x2C343A),
        control: rgb(0x75808A),
        text: rgb(0xEEEBE3),
        text2: rgb(0xBDBFB9),
        text3: rgb(0x969B98),
        setpoint: rgb(0xF8F5EF),
        forecast: rgb(0xECBBFF),
        rate: rgb(0xC6E996),
        heater: rgb(0xF6AC5F),
        air: rgb(0xB8E6E8),
        mark: rgb(0xB1B19E),
        log1: rgb(0x626FBD),
        log2: rgb(0x8F8217),
        log3: rgb(0xBB516B),
        log4: rgb(0x3FA5AC),
        note: rgb(0x7791B0),
        note_text: rgb(0xA3BAD6),
        caution: rgb(0xEEA93D),
        caution_text: rgb(0xEEA93D),
        stop: rgb(0xD95446),
        stop_text: rgb(0xF08C7E),
        accent: rgb(0x7FC3A8),
        on_accent: rgb(0x0D1B16),
        select: rgb(0xF0B93A),
        chip: rgb(0xF8F5EF),
        on_chip: rgb(0x12293A),
        drying: rgb(0x151B1F),
        browning: rgb(0x192025),
        development: rgb(0x1E262C),
        drying_strip: rgb(0x20272C),
        browning_strip: rgb(0x2A3238),
        development_strip: rgb(0x363F46),
        band_outer: rgb(0x1D1A2A),
        band_inner: rgb(0x2A2338),
        tint_percent: 60,
        hatch_percent: 34,
    };

    /// The palette of the theme that `ui` is drawn in.
    pub fn of(ui: &Ui) -> &'static Self {
        Self::of_theme(Theme::from_dark_mode(ui.visuals().dark_mode))
    }

    /// The palette of `theme`.
    pub fn of_theme(theme: Theme) -> &'static Self {
        match theme {
            Theme::Light => &Self::LIGHT,
            Theme::Dark => &Self::DARK,
        }
    }

    /// `ground` with the pointer on it.
    pub fn hovered(&self, ground: Color32) -> Color32 {
        mix(ground, self.text, HOVER_SHARE)
    }

    /// `ground` while it is pressed.
    pub fn pressed(&self, ground: Color32) -> Color32 {
        mix(ground, self.text, PRESSED_SHARE)
    }

    /// A phase tint as it is drawn on the lane ground, at half strength or a little more.
    pub fn lane_tint(&self, full: Color32) -> Color32 {
        mix(self.chart, full, f32::from(self.tint_percent) / 100.0)
    }

    /// Lines of the reach hatch: ink at about a third.
    pub fn hatch_line(&self) -> Color32 {
        self.setpoint
            .gamma_multiply(f32::from(self.hatch_percent) / 100.0)
    }

    /// Dotted lines of phase boundaries through the lanes: ink at 55 %.
    pub fn boundary_line(&self) -> Color32 {
        self.setpoint.gamma_multiply(0.55)
    }

    /// Leaders from the finish tabs: ink at 60 %.
    pub fn leader_line(&self) -> Color32 {
        self.setpoint.gamma_multiply(0.60)
    }

    /// Edges of the forecast spread: iris at 70 %.
    pub fn spread_edge(&self) -> Color32 {
        self.forecast.gamma_multiply(0.70)
    }

    /// Glyph and bracket of a finding.
    pub fn severity(&self, severity: Severity) -> Color32 {
        match severity {
            Severity::Note => self.note,
            Severity::Caution => self.caution,
            Severity::Stop => self.stop,
        }
    }

    /// Heading of a finding.
    pub fn severity_text(&self, severity: Severity) -> Color32 {
        match severity {
            Severity::Note => self.note_text,
            Severity::Caution => self.caution_text,
            Severity::Stop => self.stop_text,
        }
    }

    /// Frame around a lane: the control colour at 55 %, decorative.
    pub fn lane_frame(&self) -> Color32 {
        self.control.gamma_multiply(0.55)
    }

    /// Dot in the core of a selected handle: ink in both themes, since yolk is light in both.
    pub fn select_dot(&self) -> Color32 {
        Self::LIGHT.setpoint
    }

    /// Halo of a handle under the pointer: ink at 16 %.
    pub fn halo(&self) -> Color32 {
        self.setpoint.gamma_multiply(0.16)
    }

    /// Fill below the heater line: clay at 7 %.
    pub fn heater_fill(&self) -> Color32 {
        self.heater.gamma_multiply(0.07)
    }
}

#[expect(
    clippy::disallowed_methods,
    reason = "the one place where colours are written"
)]
const fn rgb(hex: u32) -> Color32 {
    let [_, red, green, blue] = hex.to_be_bytes();
    Color32::from_rgb(red, green, blue)
}

/// `ink` laid over `ground` with the opacity `share` (0 to 1), channel by channel in sRGB, as one opaque colour.
pub fn mix(ground: Color32, ink: Color32, share: f32) -> Color32 {
    ground.lerp_to_gamma(ink, share)
}

/// The steps of type. Nothing on the screen is smaller than [`Step::Small`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Outcome numbers: 24 px, semi-bold.
    Figure,
    /// Document name: 14 px, semi-bold.
    Title,
    /// Heads of sheets and cards, key values: 13 px, semi-bold.
    Head,
    /// Labels, fields, buttons: 12 px.
    Body,
    /// Heads of lanes, drawn values: 12 px, semi-bold.
    Strong,
    /// Text of findings: 11.5 px.
    Finding,
    /// Axis numbers, legends, units: 11 px.
    Small,
}

impl Step {
    /// Every step, largest first.
    pub const ALL: [Self; 7] = [
        Self::Figure,
        Self::Title,
        Self::Head,
        Self::Body,
        Self::Strong,
        Self::Finding,
        Self::Small,
    ];

    /// Size and face, in points.
    pub fn font(self) -> FontId {
        let (size, family) = match self {
            Self::Figure => (24.0, strong_family()),
            Self::Title => (14.0, strong_family()),
            Self::Head => (13.0, strong_family()),
            Self::Body => (12.0, FontFamily::Proportional),
            Self::Strong => (12.0, strong_family()),
            Self::Finding => (11.5, FontFamily::Proportional),
            Self::Small => (11.0, FontFamily::Proportional),
        };
        FontId::new(size, family)
    }

    /// `words` in this step, for labels.
    pub fn text(self, words: impl Into<String>) -> RichText {
        RichText::new(words).font(self.font())
    }
}

fn strong_family() -> FontFamily {
    FontFamily::Name("strong".into())
}

/// Sets fonts, type steps, spacing and both themes on `ctx`. Call once, before the first frame.
///
/// Which theme is shown stays with `ctx.set_theme`.
pub fn install(ctx: &Context) {
    ctx.set_fonts(fonts());
    ctx.all_styles_mut(set_sizes);
    ctx.style_mut_of(Theme::Light, |style| {
        style.visuals = visuals(&Palette::LIGHT, Visuals::light());
    });
    ctx.style_mut_of(Theme::Dark, |style| {
        style.visuals = visuals(&Palette::DARK, Visuals::dark());
    });
}

/// Chaffinch Sans first; egui's built-in fonts stay behind it for characters it lacks.
fn fonts() -> FontDefinitions {
    const REGULAR: &[u8] = include_bytes!("../../../../assets/fonts/ChaffinchSans-Regular.otf");
    const SEMI_BOLD: &[u8] = include_bytes!("../../../../assets/fonts/ChaffinchSans-SemiBold.otf");
    let mut fonts = FontDefinitions::default();
    let behind = fonts
        .families
        .get(&FontFamily::Proportional)
        .cloned()
        .unwrap_or_default();
    for (name, bytes, family) in [
        ("Chaffinch Sans", REGULAR, FontFamily::Proportional),
        ("Chaffinch Sans SemiBold", SEMI_BOLD, strong_family()),
    ] {
        fonts
            .font_data
            .insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
        let mut order = vec![name.to_owned()];
        order.extend(behind.iter().cloned());
        fonts.families.insert(family, order);
    }
    fonts
}

fn set_sizes(style: &mut Style) {
    style.text_styles = [
        (TextStyle::Heading, Step::Title.font()),
        (TextStyle::Body, Step::Body.font()),
        (TextStyle::Button, Step::Body.font()),
        (TextStyle::Small, Step::Small.font()),
        (
            TextStyle::Monospace,
            FontId::new(12.0, FontFamily::Monospace),
        ),
    ]
    .into();
    style.animation_time = MOTION_S;
    style.interaction.selectable_labels = false;
    let spacing = &mut style.spacing;
    spacing.item_spacing = vec2(space::NEAR, space::TIGHT);
    spacing.button_padding = vec2(space::INNER, space::TIGHT);
    spacing.interact_size = vec2(space::CONTROL_HEIGHT, space::CONTROL_HEIGHT);
    spacing.window_margin = Margin::same(16);
    spacing.menu_margin = Margin::same(4);
    spacing.indent = space::WIDE;
    spacing.icon_width = 16.0;
    spacing.icon_width_inner = 8.0;
    spacing.icon_spacing = space::NEAR;
    spacing.tooltip_width = 320.0;
    // The handle in ink: in the colour of a field it can't be seen on a panel.
    spacing.scroll = ScrollStyle {
        foreground_color: true,
        dormant_handle_opacity: 0.6,
        ..ScrollStyle::thin()
    };
}

fn visuals(p: &Palette, base: Visuals) -> Visuals {
    let mut v = base;
    v.panel_fill = p.panel;
    v.window_fill = p.raised;
    v.window_stroke = Stroke::new(1.0, p.control);
    v.window_corner_radius = radius::CARD.into();
    v.menu_corner_radius = radius::BUTTON.into();
    v.window_shadow = Shadow::NONE;
    v.popup_shadow = Shadow::NONE;
    v.faint_bg_color = p.hovered(p.raised);
    v.extreme_bg_color = p.field;
    v.code_bg_color = p.panel;
    v.hyperlink_color = p.accent;
    v.warn_fg_color = p.caution_text;
    v.error_fg_color = p.stop_text;
    v.weak_text_color = Some(p.text3);
    v.selection.bg_fill = mix(p.field, p.accent, 0.20);
    v.selection.stroke = Stroke::new(2.0, p.accent);
    v.text_cursor.stroke = Stroke::new(1.5, p.text);
    // Nothing flashes, and an idle window draws nothing.
    v.text_cursor.blink = false;
    v.disabled_alpha = 0.6;
    let w = &mut v.widgets;
    w.noninteractive = surface(p.panel, Stroke::new(1.0, p.hairline), p.text);
    w.inactive = surface(p.raised, Stroke::new(1.0, p.control), p.text);
    w.inactive.bg_fill = p.field;
    w.hovered = surface(p.hovered(p.raised), Stroke::new(1.0, p.control), p.text);
    // egui draws "pressed" and "has the focus" alike.
    w.active = surface(p.pressed(p.raised), Stroke::new(2.0, p.accent), p.text);
    w.open = surface(p.hovered(p.raised), Stroke::new(1.0, p.control), p.text);
    v
}

fn surface(ground: Color32, border: Stroke, ink: Color32) -> WidgetVisuals {
    WidgetVisuals {
        bg_fill: ground,
        weak_bg_fill: ground,
        bg_stroke: border,
        corner_radius: CornerRadius::same(radius::BUTTON),
        fg_stroke: Stroke::new(1.5, ink),
        expansion: 0.0,
    }
}

#[cfg(test)]
mod tests {
    #![allow(missing_docs, clippy::missing_assert_message, reason = "tests")]
    use super::*;
    use eframe::egui::RawInput;

    fn with_fonts(check: impl Fn(&mut eframe::egui::epaint::text::FontsView<'_>)) {
        let ctx = Context::default();
        install(&ctx);
        let output = ctx.run_ui(RawInput::default(), |ui| ui.fonts_mut(&check));
        output.drop_without_applying_deltas();
    }

    #[test]
    fn every_step_has_the_characters_that_the_window_needs() {
        const NEEDED: &str = "0123456789 °C °F °C/min % g/L ± × ÷ − · … – — ′ ″ ₀₁₂₃₄₅₆₇₈₉ ≤ ≥ ≈ ← ↑ → ↓ \
            ▲ ▼ ● ■ ◆ ✓ áéíóúüñ¿¡ ãõâêôàç äöüß œ Şğı łč ΔΜμαω ЖЯяё";
        with_fonts(|fonts| {
            for step in Step::ALL {
                for character in NEEDED.chars() {
                    assert!(
                        fonts.has_glyph(&step.font(), character),
                        "{step:?} lacks {character}"
                    );
                }
            }
        });
    }

    #[test]
    fn figures_are_tabular() {
        with_fonts(|fonts| {
            for step in Step::ALL {
                let font = step.font();
                let zero_px = fonts.glyph_width(&font, '0');
                for digit in '1'..='9' {
                    let width_px = fonts.glyph_width(&font, digit);
                    assert!(
                        (width_px - zero_px).abs() < 1e-3,
                        "{step:?} {digit}: {width_px} against {zero_px}"
                    );
                }
            }
        });
    }

    #[test]
    fn both_themes_show_their_own_palette() {
        let ctx = Context::default();
        install(&ctx);
        for theme in [Theme::Light, Theme::Dark] {
            let visuals = ctx.style_of(theme).visuals.clone();
            assert_eq!(visuals.panel_fill, Palette::of_theme(theme).panel);
            assert_eq!(visuals.dark_mode, theme == Theme::Dark);
        }
    }
}
