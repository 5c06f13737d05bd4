//! One look for every panel: colours, sizes of type, spacing. Light, for a bright
//! classroom, or dark, for a dim one. What is drawn over the yard, which is in daylight,
//! keeps the light colours. Marks that carry a meaning take their colour from the colour-blind-safe
//! set of Okabe and Ito (2008), the darker ones for text, and always stand beside a
//! shape or a word. Type: DejaVu Sans Condensed.

use bevy_egui::egui::text::{LayoutJob, TextFormat};
use bevy_egui::egui::{
    self, Color32, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Margin, Stroke,
    TextStyle, Theme,
};
use std::sync::Arc;

/// A colour by its use: one for each theme.
#[derive(Clone, Copy)]
pub(super) struct Token {
    pub day: Color32,
    dark: Color32,
}

impl Token {
    /// From two colours in sRGB, as `0xRRGGBB`.
    const fn new(day: u32, dark: u32) -> Self {
        const fn color(rgb: u32) -> Color32 {
            let [_, r, g, b] = rgb.to_be_bytes();
            Color32::from_rgb(r, g, b)
        }
        Self { day: color(day), dark: color(dark) }
    }

    /// As it is in the theme on screen.
    pub fn on(self, ctx: &egui::Context) -> Color32 {
        self.colour(ctx.theme())
    }

    fn colour(self, theme: Theme) -> Color32 {
        match theme {
            Theme::Light => self.day,
            Theme::Dark => self.dark,
        }
    }
}

pub(super) const PAPER: Token = Token::new(0xF6F4EF, 0x12181E);
pub(super) const CARD: Token = Token::new(0xFFFFFF, 0x1E2830);
pub(super) const SUNK: Token = Token::new(0xE9E6DE, 0x2C3842);
pub(super) const LINE: Token = Token::new(0xCFCABE, 0x475663);
pub(super) const INK: Token = Token::new(0x1E2933, 0xEEF0EE);
pub(super) const SOFT: Token = Token::new(0x55606B, 0xAEB9C2);
/// The head and the foot of the screen.
pub(super) const SLATE: Color32 = Color32::from_rgb(0x24, 0x33, 0x40);
pub(super) const ON_SLATE: Color32 = Color32::from_rgb(0xF2, 0xF1, 0xEC);
pub(super) const ON_SLATE_SOFT: Color32 = Color32::from_rgb(0xB9, 0xC4, 0xCC);

pub(super) const BLUE: Token = Token::new(0x0069A5, 0x62B8EC);
pub(super) const GREEN: Token = Token::new(0x007F5F, 0x3CC79D);
pub(super) const VERMILION: Token = Token::new(0xB34700, 0xFF8F4A);
pub(super) const PURPLE: Token = Token::new(0xA85082, 0xDE93BC);
pub(super) const OCHRE: Token = Token::new(0x8A6200, 0xE6B23C);
pub(super) const PALE_BLUE: Token = Token::new(0xDCEAF3, 0x1F3F54);
pub(super) const PALE_WARN: Token = Token::new(0xFBE8DA, 0x4B2F1C);

/// Words on a fill of [`BLUE`].
pub(super) const ON_BLUE: Token = Token::new(0xFFFFFF, 0x0C1217);
/// The button that leads on, with words of [`ON_SLATE`].
pub(super) const MAIN: Token = Token::new(0x243340, 0x3B566B);

/// Sizes of type, in points at zoom 1.
pub(super) const SMALL: f32 = 12.5;
pub(super) const BODY: f32 = 14.5;
pub(super) const HEAD: f32 = 17.5;
pub(super) const FIGURE: f32 = 22.0;
pub(super) const BIG: f32 = 32.0;

/// One step of spacing, in points.
pub(super) const STEP: f32 = 8.0;

const BOLD: &str = "bold";

pub(super) fn plain(size: f32) -> FontId {
    FontId::proportional(size)
}

pub(super) fn bold(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name(BOLD.into()))
}

/// Gives a context our fonts and look. Call once a context.
pub(super) fn apply(ctx: &egui::Context) {
    let mut fonts = FontDefinitions::default();
    let (regular, heavy) = (dejavu::sans_condensed::regular(), dejavu::sans_condensed::bold());
    for (name, bytes) in [("regular", regular), (BOLD, heavy)] {
        fonts.font_data.insert(name.into(), Arc::new(FontData::from_static(bytes)));
    }
    // The built-in fonts stay behind ours for signs that ours lack.
    let fallback = fonts.families.get(&FontFamily::Proportional).cloned().unwrap_or_default();
    for (family, first) in
        [(FontFamily::Proportional, "regular"), (FontFamily::Name(BOLD.into()), BOLD)]
    {
        let mut list = vec![first.to_owned()];
        list.extend(fallback.iter().cloned());
        fonts.families.insert(family, list);
    }
    ctx.set_fonts(fonts);
    ctx.set_theme(Theme::Light);
    for theme in [Theme::Light, Theme::Dark] {
        let of = |token: Token| token.colour(theme);
        ctx.style_mut_of(theme, |style| {
            style.text_styles = [
                (TextStyle::Small, plain(SMALL)),
                (TextStyle::Body, plain(BODY)),
                (TextStyle::Button, plain(BODY)),
                (TextStyle::Heading, bold(HEAD)),
                (TextStyle::Monospace, plain(BODY)),
            ]
            .into();
            style.spacing.item_spacing = egui::vec2(STEP, 0.75 * STEP);
            style.spacing.button_padding = egui::vec2(1.25 * STEP, 0.6 * STEP);
            // A bar that stays shows the reader that there is more; a line that fades would
            // not.
            let scroll = &mut style.spacing.scroll;
            scroll.floating = true;
            scroll.fade.strength = 0.0;
            (scroll.floating_width, scroll.floating_allocated_width) = (5.0, 7.0);
            (scroll.dormant_background_opacity, scroll.dormant_handle_opacity) = (0.3, 0.6);
            style.interaction.selectable_labels = false;
            let v = &mut style.visuals;
            v.override_text_color = Some(of(INK));
            v.panel_fill = of(PAPER);
            v.window_fill = of(CARD);
            v.extreme_bg_color = of(SUNK);
            v.window_stroke = Stroke::new(1.0, of(LINE));
            v.window_corner_radius = CornerRadius::same(10);
            v.menu_corner_radius = CornerRadius::same(6);
            v.selection.bg_fill = of(PALE_BLUE);
            v.selection.stroke = Stroke::new(1.5, of(BLUE));
            for (w, fill, line) in [
                (&mut v.widgets.noninteractive, of(PAPER), of(LINE)),
                (&mut v.widgets.inactive, of(CARD), of(LINE)),
                (&mut v.widgets.hovered, of(PALE_BLUE), of(BLUE)),
                (&mut v.widgets.active, of(PALE_BLUE), of(BLUE)),
                (&mut v.widgets.open, of(CARD), of(BLUE)),
            ] {
                w.bg_fill = fill;
                w.weak_bg_fill = fill;
                w.bg_stroke = Stroke::new(1.0, line);
                w.fg_stroke = Stroke::new(1.5, of(INK));
                w.corner_radius = CornerRadius::same(5);
                w.expansion = 0.0;
            }
        });
    }
}

/// Has every usual sign drawn once in every size and at every quarter of a dot, as the fonts
/// keep them: a sign that is new on screen would else be missing for a frame. Call again
/// where the zoom has changed.
pub(super) fn prime(ctx: &egui::Context, also: &[f32]) {
    let signs = (' '..='~').chain(['\u{00D7}', '\u{2713}', '\u{25B2}', '\u{25BC}']);
    // The typeface has one sign for each of these.
    let joined = ["ff", "fi", "fl", "ffi", "ffl"].map(str::to_owned);
    let signs: Vec<String> = signs.map(String::from).chain(joined).collect();
    let sizes = [SMALL, BODY, HEAD, FIGURE, BIG];
    let dot = 1.0 / ctx.pixels_per_point();
    ctx.fonts_mut(|fonts| {
        for &size in sizes.iter().chain(also) {
            for font in [plain(size), bold(size)] {
                let format = TextFormat::simple(font, INK.day);
                for sign in &signs {
                    for quarter in 0..4 {
                        let mut job = LayoutJob::default();
                        let shift = 0.25 * dot * quarter as f32;
                        job.append(sign, shift, format.clone());
                        fonts.layout_job(job);
                    }
                }
            }
        }
    });
}

/// A card with a hair line around it.
pub(super) fn card(ctx: &egui::Context) -> egui::Frame {
    egui::Frame::new()
        .fill(CARD.on(ctx))
        .stroke(Stroke::new(1.0, LINE.on(ctx)))
        .corner_radius(CornerRadius::same(7))
        .inner_margin(Margin::symmetric(9, 5))
}

/// A plain band such as the head of the screen.
pub(super) fn band(fill: Color32) -> egui::Frame {
    egui::Frame::new().fill(fill).inner_margin(Margin::symmetric(14, 8))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// W3C, Web Content Accessibility Guidelines 2.1, "relative luminance" and "contrast
    /// ratio" (definitions).
    fn contrast(a: Color32, b: Color32) -> f64 {
        let luminance = |c: Color32| {
            let [r, g, b, _] = c.to_array().map(|v| {
                let v = f64::from(v) / 255.0;
                if v <= 0.03928 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
            });
            0.2126 * r + 0.7152 * g + 0.0722 * b
        };
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    /// The same guidelines, success criteria 1.4.3 (text, 4.5 to 1) and 1.4.11 (marks that
    /// carry a meaning, 3 to 1).
    #[test]
    fn words_and_marks_can_be_read_in_both_themes() {
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
        for theme in [Theme::Light, Theme::Dark] {
            let mut pairs = vec![
                ("main", MAIN.colour(theme), ON_SLATE, 4.5),
                ("slate", SLATE, ON_SLATE, 4.5),
                ("slate, soft", SLATE, ON_SLATE_SOFT, 4.5),
                ("blue", BLUE.colour(theme), ON_BLUE.colour(theme), 4.5),
            ];
            let grounds = [
                ("paper", PAPER),
                ("card", CARD),
                ("sunk", SUNK),
                ("pale blue", PALE_BLUE),
                ("pale warn", PALE_WARN),
            ];
            for (name, ground) in grounds {
                for word in [INK, SOFT] {
                    pairs.push((name, ground.colour(theme), word.colour(theme), 4.5));
                }
                // Words have these colours on paper and on cards alone.
                let least = if ["paper", "card"].contains(&name) { 4.5 } else { 3.0 };
                for mark in [BLUE, GREEN, VERMILION, PURPLE, OCHRE] {
                    pairs.push((name, ground.colour(theme), mark.colour(theme), least));
                }
            }
            for (name, ground, ink, least) in pairs {
                let found = contrast(ground, ink);
                assert!(found >= least, "{theme:?}, {name}, {ink:?}: {found:.2} < {least}");
            }
        }
    }
}
