//! What is wrong with a screen: text that is cut, covered or too pale, things that overlap, and
//! words that are against the rule.

use super::sight::{Line, Sight, contrast};
use super::words::Words;
use bevy_egui::egui::accesskit::Role;
use bevy_egui::egui::epaint::ClippedShape;
use bevy_egui::egui::{Order, Rect};
use inchwise::view::{Scrolled, Trial, Widget};

/// Less than this beyond an edge is the softness of letters, points.
const SOFT_EDGE: f32 = 0.8;
/// Things may share this much of an edge, points.
const SHARED: f32 = 1.0;
/// W3C, Web Content Accessibility Guidelines 2.1, success criterion 1.4.3, for text of any size.
const CONTRAST: f64 = 4.5;
/// As high as a box that holds a line of text, points.
const BOX_HIGH: f32 = 14.0;

/// Something wrong on a screen.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Flaw {
    pub what: String,
    pub text: String,
    /// Left, top, right, bottom, in whole points.
    pub at: [i32; 4],
}

fn flaw(what: impl Into<String>, text: &str, rect: Rect) -> Flaw {
    let at = [rect.min.x, rect.min.y, rect.max.x, rect.max.y].map(|v| v.round() as i32);
    Flaw { what: what.into(), text: text.to_owned(), at }
}

/// Everything that is wrong with the last frame.
pub fn flaws(trial: &Trial, words: &Words) -> Vec<Flaw> {
    let whole = trial.whole();
    let mut out = in_picture(trial.painted(), trial.scrolled(), whole, words);
    let modal = Sight::new(trial.painted(), whole).backdrop(whole) > 0;
    hands(trial.widgets(), modal, &mut out);
    out
}

/// What is wrong with what is painted.
pub fn in_picture(
    painted: &[ClippedShape],
    scrolled: &[Scrolled],
    whole: Rect,
    words: &Words,
) -> Vec<Flaw> {
    let sight = Sight::new(painted, whole);
    let behind = sight.backdrop(whole);
    let mut out = Vec::new();
    let mut seen: Vec<&Line> = Vec::new();
    for line in sight.lines.iter().filter(|line| line.turn > behind) {
        let Some(flaws) = of_line(&sight, line, scrolled, whole) else { continue };
        out.extend(flaws);
        seen.push(line);
    }
    overlaps(&sight, &seen, &mut out);
    let mut read: Vec<usize> = seen.iter().map(|line| line.of).collect();
    read.dedup();
    for of in read {
        let text = &sight.texts[of];
        let rect = seen.iter().find(|line| line.of == of).map_or(Rect::NOTHING, |l| l.seen());
        if text.shortened {
            out.push(flaw("is shortened", &text.text, rect));
        }
        out.extend(words.against(&text.text).into_iter().map(|why| flaw(why, &text.text, rect)));
    }
    out
}

/// What is wrong with a line; nothing where it is out of sight, behind a card or scrolled away.
fn of_line(sight: &Sight, line: &Line, scrolled: &[Scrolled], whole: Rect) -> Option<Vec<Flaw>> {
    let mut out = Vec::new();
    let (ink, clip) = (line.ink, line.clip);
    // The list that it is in: their edges are the same.
    let list = scrolled.iter().find(|list| {
        let edges = list.rect.intersect(whole);
        let near = |a: f32, b: f32| (a - b).abs() < 4.0;
        edges.x_range().contains(ink.center().x)
            && (near(edges.min.y, clip.min.y) || near(edges.max.y, clip.max.y))
    });
    if !line.seen().is_positive() {
        // What is scrolled away can be scrolled to; nothing else may be missing.
        if list.is_none() {
            out.push(flaw("is out of sight", &line.text, ink));
            return Some(out);
        }
        return None;
    }
    let covers: Vec<bool> = line
        .places()
        .filter(|at| line.clip.contains(*at))
        .map(|at| sight.over(at, line.turn).is_some())
        .collect();
    if covers.iter().all(|covered| *covered) {
        return None;
    }
    if ink.min.x < clip.min.x - SOFT_EDGE || ink.max.x > clip.max.x + SOFT_EDGE {
        out.push(flaw("is cut at its side", &line.text, ink));
    }
    // At the edge of a list a line may be cut where the list can be scrolled that way.
    let [above, below] = list.map_or([false; 2], |list| list.more);
    if (ink.min.y < clip.min.y - SOFT_EDGE && !above)
        || (ink.max.y > clip.max.y + SOFT_EDGE && !below)
    {
        out.push(flaw("is sliced", &line.text, ink));
    }
    if covers.contains(&true) {
        out.push(flaw("is covered in part", &line.text, ink));
    }
    out.extend(pale(sight, line));
    out.extend(over_its_box(sight, line));
    Some(out)
}

/// A line that cannot be read well on what is painted under it.
fn pale(sight: &Sight, line: &Line) -> Option<Flaw> {
    let middle = line.places().skip(5).take(5);
    let places =
        middle.filter(|at| line.clip.contains(*at) && sight.over(*at, line.turn).is_none());
    let least = places
        .flat_map(|at| sight.under(at, line.turn))
        .flat_map(|ground| line.colors.iter().map(move |ink| contrast(ground.blend(*ink), ground)))
        .fold(f64::INFINITY, f64::min);
    (least < CONTRAST).then(|| flaw(format!("has a contrast of {least:.2}"), &line.text, line.ink))
}

/// A line that runs over the edge of the button or card that it is on.
fn over_its_box(sight: &Sight, line: &Line) -> Option<Flaw> {
    let seen = line.seen();
    let under = sight
        .fills
        .iter()
        .filter(|fill| fill.turn < line.turn && fill.hides() && fill.rect.contains(seen.center()));
    let nearest = under.max_by_key(|fill| fill.turn)?;
    let is_box = nearest.is_plain_rect() && nearest.rect.height() >= BOX_HIGH;
    let inside = nearest.rect.expand(SHARED).contains_rect(seen);
    (is_box && !inside).then(|| flaw("runs over its box", &line.text, seen))
}

/// Texts that lie over each other.
fn overlaps(sight: &Sight, lines: &[&Line], out: &mut Vec<Flaw>) {
    for (i, a) in lines.iter().enumerate() {
        for b in &lines[i + 1..] {
            let both = a.seen().intersect(b.seen());
            let apart = both.width() < SHARED || both.height() < SHARED;
            if a.of == b.of || apart || sight.over(both.center(), a.turn).is_some() {
                continue;
            }
            out.push(flaw(format!("lies over \"{}\"", a.text), &b.text, both));
        }
    }
}

/// Whether a hand can press it.
fn is_pressed(widget: &Widget) -> bool {
    !matches!(
        widget.role,
        Role::Label | Role::TextRun | Role::Unknown | Role::Window | Role::Pane | Role::ScrollView
    )
}

/// Things to press that lie over each other.
fn hands(widgets: &[Widget], modal: bool, out: &mut Vec<Flaw>) {
    let over_all = |w: &&Widget| w.layer.is_some_and(|layer| layer.order >= Order::Foreground);
    let there = widgets.iter().filter(|w| is_pressed(w) && w.layer.is_some());
    let there: Vec<&Widget> = there.filter(|w| !modal || over_all(w)).collect();
    for (i, a) in there.iter().enumerate() {
        for b in &there[i + 1..] {
            let both = a.reached.intersect(b.reached);
            let band = [a, b].iter().any(|w| w.label == "More below");
            if both.width() < SHARED || both.height() < SHARED || band {
                continue;
            }
            let rect = Rect::from_min_max(both.min.to_array().into(), both.max.to_array().into());
            out.push(flaw(format!("is pressed where \"{}\" is", a.label), &b.label, rect));
        }
    }
}
