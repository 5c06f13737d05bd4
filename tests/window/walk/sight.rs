//! What is painted on a screen, as an eye meets it: every line of text with what is under it and
//! what lies over it.

use bevy_egui::egui::epaint::{ClippedShape, PathShape, TextShape};
use bevy_egui::egui::{Color32, Pos2, Rect, Shape, TextureId, pos2};

/// A fill paler than this hides what is under it, of 255.
const HIDES: u8 = 250;

/// What an area is filled with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Paint {
    Plain(Color32),
    /// A picture: any colour may be there.
    Picture,
}

/// The form of a fill.
#[derive(Clone, Debug)]
enum Form {
    Whole,
    Round { middle: Pos2, radius: f32 },
    Corners(Vec<Pos2>),
}

/// A filled area.
#[derive(Clone, Debug)]
pub struct Fill {
    pub rect: Rect,
    pub paint: Paint,
    /// How many shapes were painted before it.
    pub turn: usize,
    form: Form,
}

impl Fill {
    fn has(&self, at: Pos2) -> bool {
        self.rect.contains(at)
            && match &self.form {
                Form::Whole => true,
                Form::Round { middle, radius } => middle.distance(at) <= *radius,
                Form::Corners(corners) => encloses(corners, at),
            }
    }

    /// Nothing under it can be seen.
    pub fn hides(&self) -> bool {
        match self.paint {
            Paint::Plain(color) => color.a() >= HIDES,
            Paint::Picture => true,
        }
    }

    pub fn is_plain_rect(&self) -> bool {
        matches!(self.form, Form::Whole)
    }
}

/// By the number of edges to the right of it: odd within.
fn encloses(corners: &[Pos2], at: Pos2) -> bool {
    let before = corners.iter().cycle().skip(corners.len().saturating_sub(1));
    let crossed = before.zip(corners).filter(|(a, b)| {
        (a.y > at.y) != (b.y > at.y) && at.x < a.x + (at.y - a.y) / (b.y - a.y) * (b.x - a.x)
    });
    crossed.count() % 2 == 1
}

/// One line of a text.
#[derive(Clone, Debug)]
pub struct Line {
    pub text: String,
    /// Where its letters are, cut or not.
    pub ink: Rect,
    /// Outside this nothing of it is painted.
    pub clip: Rect,
    pub colors: Vec<Color32>,
    /// Which of the texts it belongs to.
    pub of: usize,
    pub turn: usize,
}

/// A text of one line or several.
#[derive(Clone, Debug)]
pub struct Text {
    pub text: String,
    /// Its end is left out, for want of room.
    pub shortened: bool,
}

/// Everything painted in a frame, in its order.
#[derive(Default)]
pub struct Sight {
    pub fills: Vec<Fill>,
    pub lines: Vec<Line>,
    pub texts: Vec<Text>,
    turn: usize,
}

impl Sight {
    pub fn new(painted: &[ClippedShape], whole: Rect) -> Self {
        let mut sight = Self::default();
        for ClippedShape { clip_rect, shape } in painted {
            sight.take(shape, clip_rect.intersect(whole));
        }
        sight
    }

    fn take(&mut self, shape: &Shape, clip: Rect) {
        self.turn += 1;
        match shape {
            Shape::Vec(shapes) => shapes.iter().for_each(|shape| self.take(shape, clip)),
            Shape::Text(text) => self.take_text(text, clip),
            Shape::Rect(rect) => {
                let picture = rect.brush.as_ref().map(|brush| brush.fill_texture_id);
                let paint = match picture {
                    Some(texture) if texture != TextureId::default() => Paint::Picture,
                    _ => Paint::Plain(rect.fill),
                };
                self.fill(rect.rect, clip, paint, Form::Whole);
            }
            Shape::Circle(circle) => {
                let form = Form::Round { middle: circle.center, radius: circle.radius };
                let rect = shape.visual_bounding_rect();
                self.fill(rect, clip, Paint::Plain(circle.fill), form);
            }
            Shape::Path(PathShape { points, closed: true, fill, .. }) => {
                let form = Form::Corners(points.clone());
                self.fill(shape.visual_bounding_rect(), clip, Paint::Plain(*fill), form);
            }
            Shape::Mesh(mesh) if mesh.texture_id != TextureId::default() => {
                self.fill(mesh.calc_bounds(), clip, Paint::Picture, Form::Whole);
            }
            _ => {}
        }
    }

    fn fill(&mut self, rect: Rect, clip: Rect, paint: Paint, form: Form) {
        let rect = rect.intersect(clip);
        if rect.is_positive() && paint != Paint::Plain(Color32::TRANSPARENT) {
            self.fills.push(Fill { rect, paint, turn: self.turn, form });
        }
    }

    fn take_text(&mut self, shape: &TextShape, clip: Rect) {
        let of = self.texts.len();
        let galley = &shape.galley;
        let text = galley.text().to_owned();
        self.texts.push(Text { text, shortened: galley.elided });
        for row in &galley.rows {
            let ink = row.visuals.mesh_bounds;
            if !ink.is_positive() {
                continue;
            }
            let ink = ink.translate(shape.pos.to_vec2() + row.pos.to_vec2());
            let letters = row.visuals.mesh.vertices.get(row.visuals.glyph_vertex_range.clone());
            let mut colors: Vec<Color32> = Vec::new();
            for vertex in letters.unwrap_or_default() {
                let own = if vertex.color == Color32::PLACEHOLDER {
                    shape.fallback_color
                } else {
                    vertex.color
                };
                let color = shape.override_text_color.unwrap_or(own);
                let color = color.gamma_multiply(shape.opacity_factor);
                if !colors.contains(&color) {
                    colors.push(color);
                }
            }
            let text = row.row.text();
            self.lines.push(Line { text, ink, clip, colors, of, turn: self.turn });
        }
    }

    /// What a modal card is painted over: nothing before it counts any more.
    pub fn backdrop(&self, whole: Rect) -> usize {
        let over_all = |fill: &&Fill| {
            fill.rect.contains_rect(whole)
                && matches!(fill.paint, Paint::Plain(color) if !color.is_opaque())
        };
        self.fills.iter().filter(over_all).map(|fill| fill.turn).max().unwrap_or(0)
    }

    /// What hides a place of something painted at this turn.
    pub fn over(&self, at: Pos2, turn: usize) -> Option<&Fill> {
        self.fills.iter().find(|fill| fill.turn > turn && fill.hides() && fill.has(at))
    }

    /// What is seen there under something painted at this turn: over black and over white, where
    /// that is not known.
    pub fn under(&self, at: Pos2, turn: usize) -> [Color32; 2] {
        let mut seen = [Color32::BLACK, Color32::WHITE];
        for fill in self.fills.iter().filter(|fill| fill.turn < turn && fill.has(at)) {
            seen = match fill.paint {
                Paint::Plain(color) => seen.map(|below| below.blend(color)),
                Paint::Picture => [Color32::BLACK, Color32::WHITE],
            };
        }
        seen
    }
}

impl Line {
    /// Places along its middle, and at its upper and lower edge.
    pub fn places(&self) -> impl Iterator<Item = Pos2> + '_ {
        let along = [0.03, 0.27, 0.5, 0.73, 0.97];
        let down = [0.15, 0.5, 0.85];
        down.into_iter().flat_map(move |y| {
            along.into_iter().map(move |x| {
                pos2(self.ink.min.x + x * self.ink.width(), self.ink.min.y + y * self.ink.height())
            })
        })
    }

    /// What is painted of it.
    pub fn seen(&self) -> Rect {
        self.ink.intersect(self.clip)
    }
}

/// W3C, Web Content Accessibility Guidelines 2.1, "relative luminance" and "contrast ratio"
/// (definitions): between 1 and 21.
pub fn contrast(a: Color32, b: Color32) -> f64 {
    let luminance = |color: Color32| {
        let [r, g, b, _] = color.to_array().map(|v| {
            let v = f64::from(v) / 255.0;
            if v <= 0.03928 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
        });
        0.2126 * r + 0.7152 * g + 0.0722 * b
    };
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}
