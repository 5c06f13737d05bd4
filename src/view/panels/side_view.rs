//! A drawing of how a scene's vehicle lies.

use crate::scene::{RestPose, Scene};
use crate::view::theme;
use bevy_egui::egui::{
    self, Align2, Color32, CornerRadius, Pos2, Rect, Shape, Stroke, StrokeKind, pos2, vec2,
};

const SKY: Color32 = Color32::from_rgb(0xE4, 0xEA, 0xEE);
const EARTH: Color32 = Color32::from_rgb(0xC6, 0xC1, 0xB4);
const PAINT: Color32 = Color32::from_rgb(0x5C, 0x87, 0xA0);
const ALLOY: Color32 = Color32::from_rgb(0xC9, 0xCC, 0xCE);
const WOOD: Color32 = Color32::from_rgb(0xC9, 0xA0, 0x6C);
const LIMB: Color32 = Color32::from_rgb(0x8F, 0xA8, 0x92);

/// How the vehicle lies, drawn from the scene's own figures: from where +Z points, and from
/// above where it lies on its side.
pub fn side_view(painter: &egui::Painter, rect: Rect, scene: &Scene) {
    painter.rect_filled(rect, 8.0, SKY);
    let Some(view) = SideView::new(painter, rect, scene) else { return };
    view.ground();
    view.wheels();
    view.body();
    view.stacks();
    view.limbs();
    view.centre_of_mass();
}

/// The drawing with its scale.
struct SideView<'a> {
    painter: &'a egui::Painter,
    rect: Rect,
    scene: &'a Scene,
    pose: RestPose,
    from_above: bool,
    /// Points in a metre.
    scale: f32,
    /// Where the ground is in the picture; from above, where Z is zero.
    ground_y: f32,
}

impl<'a> SideView<'a> {
    /// None where the vehicle has no pose to lie in.
    fn new(painter: &'a egui::Painter, rect: Rect, scene: &'a Scene) -> Option<Self> {
        let pose = scene.vehicle.rest_pose(scene.lies)?;
        let from_above = scene.lies.on_side();
        let scale = (rect.width() / 5.6).min(rect.height() / 2.75);
        let middle = pose.ground([0.0, scene.vehicle.profile.header[1] / 2.0, 0.0])[2];
        let ground_y = if from_above {
            rect.center().y - middle as f32 * scale
        } else {
            rect.max.y - 0.22 * rect.height()
        };
        Some(Self { painter, rect, scene, pose, from_above, scale, ground_y })
    }

    /// A point by its X and how far up it is in the picture, m: its height, or from above the
    /// opposite of its Z.
    fn screen(&self, [x, y]: [f64; 2]) -> Pos2 {
        // The nose points to the right.
        pos2(self.rect.center().x + x as f32 * self.scale, self.ground_y - y as f32 * self.scale)
    }

    /// A point of the vehicle's middle plane, in the vehicle's frame.
    fn at(&self, [x, y]: [f64; 2]) -> Pos2 {
        let [x, y, z] = self.pose.ground([x, y, 0.0]);
        self.screen([x, if self.from_above { -z } else { y }])
    }

    /// What stands on the ground: over its length along X, and its height or its width.
    fn stands(&self, at: [f64; 2], size: [f64; 2], [low, high]: [f64; 2]) -> Rect {
        let x = [at[0] - size[0] / 2.0, at[0] + size[0] / 2.0];
        let y = if self.from_above {
            [-at[1] - size[1] / 2.0, -at[1] + size[1] / 2.0]
        } else {
            [low, high]
        };
        Rect::from_two_pos(self.screen([x[0], y[0]]), self.screen([x[1], y[1]]))
    }

    fn ground(&self) {
        let Self { rect, from_above, .. } = *self;
        let top = if from_above { rect.min.y } else { self.ground_y };
        let earth = Rect::from_min_max(pos2(rect.min.x, top), rect.max);
        let corner = CornerRadius::same(8);
        // Level ground ends at the picture's sides.
        let round = if from_above { corner } else { CornerRadius { nw: 0, ne: 0, ..corner } };
        self.painter.rect_filled(earth, round, EARTH);
    }

    fn wheels(&self) {
        let v = &self.scene.vehicle;
        let thin = Stroke::new(1.5, theme::INK.day);
        for x in v.wheel_x_m {
            let hub = self.at([x, v.wheel_radius_m]);
            let radius = v.wheel_radius_m as f32 * self.scale;
            self.painter.circle(hub, radius, theme::INK.day, thin);
            let radius = 0.55 * v.wheel_radius_m as f32 * self.scale;
            self.painter.circle_filled(hub, radius, ALLOY);
        }
    }

    /// The lower body in convex pieces, then posts and roof as lines.
    fn body(&self) {
        let v = &self.scene.vehicle;
        let p = &v.profile;
        let at = |point| self.at(point);
        let mut stations: Vec<f64> = vec![p.nose[0], p.cowl[0], p.deck_front[0], p.deck_rear[0]];
        stations.sort_by(|a, b| b.total_cmp(a));
        let top = |x: f64| {
            if x <= p.cowl[0] && x >= p.deck_front[0] { p.belt_y(x) } else { p.upper_y(x) }
        };
        for pair in stations.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            let piece =
                vec![at([a, p.floor_y]), at([a, top(a)]), at([b, top(b)]), at([b, p.floor_y])];
            self.painter.add(Shape::convex_polygon(piece, PAINT, Stroke::new(1.0, PAINT)));
        }
        for post in &v.posts {
            let foot = [post.belt_x, p.belt_y(post.belt_x)];
            let head = [post.roof_x, p.upper_y(post.roof_x)];
            let width = (post.width_m as f32 * self.scale).max(2.0);
            self.painter.line_segment([at(foot), at(head)], Stroke::new(width, PAINT));
        }
        let roof = Stroke::new((0.06 * self.scale).max(3.0), PAINT);
        self.painter.line_segment([at(p.header), at(p.roof_rear)], roof);
    }

    fn stacks(&self) {
        let edge = Stroke::new(1.0, theme::INK.day);
        for stack in &self.scene.stacks {
            for layer in 0..stack.layers.max(1) {
                let (low, high) = (layer as f64, layer as f64 + 1.0);
                let h = stack.timber.height_m;
                let piece = self.stands(stack.at, [stack.length_m; 2], [low * h, high * h]);
                self.painter.rect(piece, 1.0, WOOD, edge, StrokeKind::Inside);
            }
        }
    }

    /// The trapped limbs with their names.
    fn limbs(&self) {
        let edge = Stroke::new(1.5, theme::INK.day);
        for limb in &self.scene.limbs {
            let piece = self.stands(limb.at, limb.size, [0.0, limb.thickness_m]);
            self.painter.rect(piece, 4.0, LIMB, edge, StrokeKind::Inside);
            let below = if self.from_above { piece.max.y } else { self.ground_y };
            let label = pos2(piece.center().x, below + 6.0);
            let font = theme::bold(theme::SMALL);
            self.painter.text(label, Align2::CENTER_TOP, &limb.name, font, theme::INK.day);
        }
    }

    fn centre_of_mass(&self) {
        let (painter, com_m) = (self.painter, self.scene.vehicle.com_m);
        let com = self.at([com_m[0], com_m[1]]);
        let foot = pos2(com.x, if self.from_above { com.y } else { self.ground_y });
        let thin = Stroke::new(1.5, theme::INK.day);
        painter.extend(Shape::dashed_line(&[com, foot], thin, 5.0, 4.0));
        painter.circle(com, 6.0, Color32::WHITE, Stroke::new(2.0, theme::INK.day));
        // On a label of its own: the body behind it may be dark.
        let text = painter.layout_no_wrap(
            "centre of mass".into(),
            theme::plain(theme::SMALL),
            theme::INK.day,
        );
        let label = Align2::LEFT_CENTER.anchor_size(com + vec2(12.0, 0.0), text.size());
        painter.rect_filled(label.expand2(vec2(4.0, 1.0)), 3.0, theme::PAPER.day);
        painter.galley(label.min, text, theme::INK.day);
    }
}
