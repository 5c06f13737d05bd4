//! Turns noise into pictures of wood and ground: made in code, the same every time.

use bevy::asset::RenderAssetUsages;
use bevy::image::{ImageAddressMode, ImageSampler, ImageSamplerDescriptor};
use bevy::prelude::*;
use bevy::render::render_resource::{Extent3d, TextureDimension, TextureFormat};

/// Side grain lies in the upper share of the wood picture, end grain below it.
pub const SIDE_SHARE: f32 = 0.75;
/// The end grain's tile ends here in u.
pub const END_SHARE: f32 = 0.25;
/// Length of timber that the wood picture shows, m.
pub const WOOD_LENGTH_M: f32 = 1.7;
/// Width of timber that the side grain shows, m.
pub const WOOD_WIDTH_M: f32 = 0.40;
/// Edge of the end grain's tile, m.
pub const WOOD_END_M: f32 = 0.30;
/// Edge of the ground picture, m.
pub const GROUND_M: f32 = 2.5;

/// A number from 0 to 1 that belongs to a place.
fn hash(x: i32, y: i32, seed: u32) -> f32 {
    let mut h = (x as u32).wrapping_mul(0x8da6_b343)
        ^ (y as u32).wrapping_mul(0xd816_3841)
        ^ seed.wrapping_mul(0xcb1a_b31f);
    h = (h ^ (h >> 13)).wrapping_mul(0x5bd1_e995);
    h ^= h >> 15;
    h = h.wrapping_mul(0x27d4_eb2d);
    (h ^ (h >> 16)) as f32 / u32::MAX as f32
}

/// Smooth noise from 0 to 1 that repeats after `period` cells.
fn noise(x: f32, y: f32, period: i32, seed: u32) -> f32 {
    let (xi, yi) = (x.floor(), y.floor());
    let fade = |t: f32| t * t * (3.0 - 2.0 * t);
    let (fx, fy) = (fade(x - xi), fade(y - yi));
    let at = |dx: i32, dy: i32| {
        hash((xi as i32 + dx).rem_euclid(period), (yi as i32 + dy).rem_euclid(period), seed)
    };
    let top = at(0, 0) + fx * (at(1, 0) - at(0, 0));
    let bottom = at(0, 1) + fx * (at(1, 1) - at(0, 1));
    top + fy * (bottom - top)
}

/// An 8-bit sRGB picture with its smaller versions, so that it does not shimmer.
fn picture(size: [usize; 2], repeat: bool, pixel: impl Fn(usize, usize) -> [f32; 3]) -> Image {
    let [mut width, mut height] = size;
    let mut level: Vec<[f32; 3]> = (0..height)
        .flat_map(|y| (0..width).map(move |x| (x, y)))
        .map(|(x, y)| pixel(x, y))
        .collect();
    let mut data = Vec::new();
    let mut levels = 0;
    loop {
        for p in &level {
            data.extend(p.map(|c| (c.clamp(0.0, 1.0) * 255.0).round() as u8));
            data.push(255);
        }
        levels += 1;
        if width == 1 && height == 1 {
            break;
        }
        let (w, h) = ((width / 2).max(1), (height / 2).max(1));
        let at = |x: usize, y: usize| level[y.min(height - 1) * width + x.min(width - 1)];
        level = (0..h)
            .flat_map(|y| (0..w).map(move |x| (x, y)))
            .map(|(x, y)| {
                let four = [(0, 0), (1, 0), (0, 1), (1, 1)].map(|(i, j)| at(2 * x + i, 2 * y + j));
                [0, 1, 2].map(|c| four.iter().map(|p| p[c]).sum::<f32>() / 4.0)
            })
            .collect();
        (width, height) = (w, h);
    }
    let mut image = Image::new_uninit(
        Extent3d { width: size[0] as u32, height: size[1] as u32, depth_or_array_layers: 1 },
        TextureDimension::D2,
        TextureFormat::Rgba8UnormSrgb,
        RenderAssetUsages::RENDER_WORLD,
    );
    image.texture_descriptor.mip_level_count = levels;
    image.data = Some(data);
    let mode = if repeat { ImageAddressMode::Repeat } else { ImageAddressMode::ClampToEdge };
    let mut sampler = ImageSamplerDescriptor::linear();
    sampler.set_address_mode(mode);
    image.sampler = ImageSampler::Descriptor(sampler);
    image
}

fn mix(a: [f32; 3], b: [f32; 3], t: f32) -> [f32; 3] {
    [0, 1, 2].map(|i| a[i] + t.clamp(0.0, 1.0) * (b[i] - a[i]))
}

/// Softwood: grain along u in the upper part, rings below.
pub fn wood() -> Image {
    const W: usize = 1024;
    const H: usize = 512;
    let early = [0.84, 0.72, 0.54];
    let late = [0.64, 0.48, 0.32];
    let split = (H as f32 * SIDE_SHARE) as usize;
    picture([W, H], false, |x, y| {
        let fibre = noise(x as f32 / 14.0, y as f32 * 1.0, 4096, 3) - 0.5;
        if y < split {
            let (u, v) = (x as f32 / W as f32, y as f32 / split as f32);
            let drift = noise(u * 3.0, v * 2.0, 64, 1) + 0.4 * noise(u * 9.0, v * 5.0, 64, 2);
            let ring = (v * 34.0 + drift * 5.0).fract();
            // A year's ring darkens slowly and ends sharply.
            let mut dark = ring.powi(3) * 0.85 + 0.25 * fibre;
            for k in 0..5 {
                let (ku, kv) = (hash(k, 0, 9), hash(k, 1, 9));
                let d = ((u - ku) * 18.0).hypot((v - kv) * 14.0);
                dark += (1.2 - d).clamp(0.0, 1.0) * (0.75 + 0.25 * (d * 20.0).sin());
            }
            mix(early, late, dark)
        } else {
            let edge = W as f32 * END_SHARE;
            let (u, v) = (x as f32 / edge - 0.62, (y - split) as f32 / (H - split) as f32 - 0.20);
            let r = u.hypot(v) + 0.02 * noise(u * 6.0 + 9.0, v * 6.0 + 9.0, 64, 5);
            let ring = (r * 26.0).fract();
            let ray = noise(v.atan2(u) * 40.0 + 200.0, r * 4.0, 4096, 6) - 0.5;
            let end = mix([0.78, 0.61, 0.41], [0.52, 0.35, 0.20], ring.powi(2) * 0.9 + 0.25 * ray);
            mix(end, [0.45, 0.33, 0.22], 0.12)
        }
    })
}

/// What the ground of a training yard looks like, by its surface.
pub fn ground(surface: crate::tables::Surface) -> Image {
    use crate::tables::Surface;
    const N: usize = 512;
    let (low, high, coarse, grain) = match surface {
        Surface::Asphalt => ([0.40, 0.41, 0.42], [0.52, 0.52, 0.52], 0.30, 0.55),
        Surface::Concrete => ([0.62, 0.61, 0.58], [0.72, 0.71, 0.68], 0.60, 0.25),
        Surface::Gravel => ([0.47, 0.44, 0.40], [0.70, 0.67, 0.62], 0.20, 0.90),
        Surface::Grass => ([0.38, 0.44, 0.30], [0.52, 0.57, 0.41], 0.30, 0.70),
    };
    let octave = |x: usize, y: usize, cells: i32, seed: u32| {
        let scale = cells as f32 / N as f32;
        noise(x as f32 * scale, y as f32 * scale, cells, seed)
    };
    picture([N, N], true, |x, y| {
        let broad = 0.6 * octave(x, y, 4, 11) + 0.4 * octave(x, y, 16, 12);
        let fine = 0.5 * octave(x, y, 128, 13) + 0.5 * octave(x, y, 256, 14);
        let t = 0.5 + coarse * (broad - 0.5) + grain * (fine - 0.5);
        mix(low, high, t)
    })
}
