//! A drawing of how a scene's vehicle lies.

use crate::scene::Scene;
use crate::view::theme;
use bevy_egui::egui::{self, Align2, Color32, CornerRadius, Rect, Shape, Stroke, pos2, vec2};

/// How the vehicle lies, drawn from the scene's own figures: from where +Z points, and from
/// above where it lies on its side.
pub fn side_view(painter: &egui::Painter, rect: Rect, scene: &Scene) {
    painter.rect_filled(rect, 8.0, Color32::from_rgb(0xE4, 0xEA, 0xEE));
    let Some(pose) = scene.vehicle.rest_pose(scene.lies) else { return };
    let from_above = scene.lies.on_side();
    let v = &scene.vehicle;
    let p = &v.profile;
    let scale = (rect.width() / 5.6).min(rect.height() / 2.75);
    let middle = pose.ground([0.0, v.profile.header[1] / 2.0, 0.0])[2];
    let ground_y = if from_above {
        rect.center().y - middle as f32 * scale
    } else {
        rect.max.y - 0.22 * rect.height()
    };
    // The nose points to the right.
    let screen =
        |[x, y]: [f64; 2]| pos2(rect.center().x + x as f32 * scale, ground_y - y as f32 * scale);
    let at = |[x, y]: [f64; 2]| {
        let [x, y, z] = pose.ground([x, y, 0.0]);
        screen([x, if from_above { -z } else { y }])
    };
    let top = if from_above { rect.min.y } else { ground_y };
    let earth = Rect::from_min_max(pos2(rect.min.x, top), rect.max);
    let corner = CornerRadius::same(8);
    // Level ground ends at the picture's sides.
    let round = if from_above { corner } else { CornerRadius { nw: 0, ne: 0, ..corner } };
    painter.rect_filled(earth, round, Color32::from_rgb(0xC6, 0xC1, 0xB4));
    // What stands on the ground: over its length along X, and its height or its width.
    let stands = |at: [f64; 2], size: [f64; 2], low: f64, high: f64| {
        let x = [at[0] - size[0] / 2.0, at[0] + size[0] / 2.0];
        let y =
            if from_above { [-at[1] - size[1] / 2.0, -at[1] + size[1] / 2.0] } else { [low, high] };
        Rect::from_two_pos(screen([x[0], y[0]]), screen([x[1], y[1]]))
    };
    let thin = Stroke::new(1.5, theme::INK.day);
    for x in v.wheel_x_m {
        painter.circle(
            at([x, v.wheel_radius_m]),
            v.wheel_radius_m as f32 * scale,
            theme::INK.day,
            thin,
        );
        painter.circle_filled(
            at([x, v.wheel_radius_m]),
            0.55 * v.wheel_radius_m as f32 * scale,
            Color32::from_rgb(0xC9, 0xCC, 0xCE),
        );
    }
    // Lower body in convex pieces, then posts and roof as lines.
    let paint = Color32::from_rgb(0x5C, 0x87, 0xA0);
    let mut stations: Vec<f64> = vec![p.nose[0], p.cowl[0], p.deck_front[0], p.deck_rear[0]];
    stations.sort_by(|a, b| b.total_cmp(a));
    let top = |x: f64| {
        if x <= p.cowl[0] && x >= p.deck_front[0] { p.belt_y(x) } else { p.upper_y(x) }
    };
    for pair in stations.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let piece = vec![at([a, p.floor_y]), at([a, top(a)]), at([b, top(b)]), at([b, p.floor_y])];
        painter.add(Shape::convex_polygon(piece, paint, Stroke::new(1.0, paint)));
    }
    for post in &v.posts {
        let foot = [post.belt_x, p.belt_y(post.belt_x)];
        let head = [post.roof_x, p.upper_y(post.roof_x)];
        let width = (post.width_m as f32 * scale).max(2.0);
        painter.line_segment([at(foot), at(head)], Stroke::new(width, paint));
    }
    painter
        .line_segment([at(p.header), at(p.roof_rear)], Stroke::new((0.06 * scale).max(3.0), paint));
    let wood = Color32::from_rgb(0xC9, 0xA0, 0x6C);
    for stack in &scene.stacks {
        let layers = stack.layers.max(1);
        for layer in 0..layers {
            let (low, high) = (layer as f64, layer as f64 + 1.0);
            let h = stack.timber.height_m;
            let piece = stands(stack.at, [stack.length_m; 2], low * h, high * h);
            painter.rect(
                piece,
                1.0,
                wood,
                Stroke::new(1.0, theme::INK.day),
                egui::StrokeKind::Inside,
            );
        }
    }
    for limb in &scene.limbs {
        let piece = stands(limb.at, limb.size, 0.0, limb.thickness_m);
        painter.rect(
            piece,
            4.0,
            Color32::from_rgb(0x8F, 0xA8, 0x92),
            Stroke::new(1.5, theme::INK.day),
            egui::StrokeKind::Inside,
        );
        let below = if from_above { piece.max.y } else { ground_y };
        let label = pos2(piece.center().x, below + 6.0);
        painter.text(
            label,
            Align2::CENTER_TOP,
            &limb.name,
            theme::bold(theme::SMALL),
            theme::INK.day,
        );
    }
    let com = at([v.com_m[0], v.com_m[1]]);
    let foot = pos2(com.x, if from_above { com.y } else { ground_y });
    painter.extend(Shape::dashed_line(&[com, foot], Stroke::new(1.5, theme::INK.day), 5.0, 4.0));
    painter.circle(com, 6.0, Color32::WHITE, Stroke::new(2.0, theme::INK.day));
    // On a label of its own: the body behind it may be dark.
    let text =
        painter.layout_no_wrap("centre of mass".into(), theme::plain(theme::SMALL), theme::INK.day);
    let label = Align2::LEFT_CENTER.anchor_size(com + vec2(12.0, 0.0), text.size());
    painter.rect_filled(label.expand2(vec2(4.0, 1.0)), 3.0, theme::PAPER.day);
    painter.galley(label.min, text, theme::INK.day);
}
