//! One look for every panel: colours, sizes of type, spacing. Light, for a bright
//! classroom. Marks that carry a meaning take their colour from the colour-blind-safe
//! set of Okabe and Ito (2008), the darker ones for text, and always stand beside a
//! shape or a word. Type: DejaVu Sans Condensed.

use bevy_egui::egui::{
    self, Color32, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Margin, Stroke,
    TextStyle,
};
use std::sync::Arc;

pub(super) const PAPER: Color32 = Color32::from_rgb(0xF6, 0xF4, 0xEF);
pub(super) const CARD: Color32 = Color32::from_rgb(0xFF, 0xFF, 0xFF);
pub(super) const SUNK: Color32 = Color32::from_rgb(0xE9, 0xE6, 0xDE);
pub(super) const LINE: Color32 = Color32::from_rgb(0xCF, 0xCA, 0xBE);
pub(super) const INK: Color32 = Color32::from_rgb(0x1E, 0x29, 0x33);
pub(super) const SOFT: Color32 = Color32::from_rgb(0x55, 0x60, 0x6B);
/// The head and the foot of the screen.
pub(super) const SLATE: Color32 = Color32::from_rgb(0x24, 0x33, 0x40);
pub(super) const ON_SLATE: Color32 = Color32::from_rgb(0xF2, 0xF1, 0xEC);
pub(super) const ON_SLATE_SOFT: Color32 = Color32::from_rgb(0xB9, 0xC4, 0xCC);

pub(super) const BLUE: Color32 = Color32::from_rgb(0x00, 0x72, 0xB2);
pub(super) const GREEN: Color32 = Color32::from_rgb(0x00, 0x7F, 0x5F);
pub(super) const VERMILION: Color32 = Color32::from_rgb(0xC8, 0x52, 0x00);
pub(super) const PURPLE: Color32 = Color32::from_rgb(0xA8, 0x50, 0x82);
pub(super) const OCHRE: Color32 = Color32::from_rgb(0x8A, 0x62, 0x00);
pub(super) const PALE_BLUE: Color32 = Color32::from_rgb(0xDC, 0xEA, 0xF3);
pub(super) const PALE_WARN: Color32 = Color32::from_rgb(0xFB, 0xE8, 0xDA);

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
    ctx.set_theme(egui::Theme::Light);
    ctx.all_styles_mut(|style| {
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
        style.spacing.scroll.floating = true;
        style.interaction.selectable_labels = false;
        let v = &mut style.visuals;
        v.override_text_color = Some(INK);
        v.panel_fill = PAPER;
        v.window_fill = CARD;
        v.extreme_bg_color = SUNK;
        v.window_stroke = Stroke::new(1.0, LINE);
        v.window_corner_radius = CornerRadius::same(10);
        v.menu_corner_radius = CornerRadius::same(6);
        v.selection.bg_fill = PALE_BLUE;
        v.selection.stroke = Stroke::new(1.5, BLUE);
        for (w, fill, line) in [
            (&mut v.widgets.noninteractive, PAPER, LINE),
            (&mut v.widgets.inactive, CARD, LINE),
            (&mut v.widgets.hovered, PALE_BLUE, BLUE),
            (&mut v.widgets.active, PALE_BLUE, BLUE),
            (&mut v.widgets.open, CARD, BLUE),
        ] {
            w.bg_fill = fill;
            w.weak_bg_fill = fill;
            w.bg_stroke = Stroke::new(1.0, line);
            w.fg_stroke = Stroke::new(1.5, INK);
            w.corner_radius = CornerRadius::same(5);
            w.expansion = 0.0;
        }
    });
}

/// Has every usual sign drawn once in every size: a sign that is new on screen would
/// else be missing for a frame. Call again where the zoom has changed.
pub(super) fn prime(ctx: &egui::Context, also: &[f32]) {
    let signs: String = (' '..='~').chain(['\u{00D7}', '\u{2713}', '\u{25B2}']).collect();
    let sizes = [SMALL, BODY, HEAD, FIGURE, BIG];
    ctx.fonts_mut(|fonts| {
        for &size in sizes.iter().chain(also) {
            for font in [plain(size), bold(size)] {
                fonts.layout_no_wrap(signs.clone(), font, INK);
            }
        }
    });
}

/// A white card with a hair line around it.
pub(super) fn card() -> egui::Frame {
    egui::Frame::new()
        .fill(CARD)
        .stroke(Stroke::new(1.0, LINE))
        .corner_radius(CornerRadius::same(7))
        .inner_margin(Margin::symmetric(9, 5))
}

/// A plain band such as the head of the screen.
pub(super) fn band(fill: Color32) -> egui::Frame {
    egui::Frame::new().fill(fill).inner_margin(Margin::symmetric(14, 8))
}
