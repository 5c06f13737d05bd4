//! A drawn picture as plain bytes: written as PNG, put beside another, strung together
//! into a picture that moves, or put into a page.

use crate::files;
use base64::prelude::{BASE64_STANDARD, Engine};
use std::fs::File;
use std::io::BufWriter;
use std::path::Path;

/// Three bytes a pixel, sRGB, from the upper left corner.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Frame {
    pub width: u32,
    pub height: u32,
    pub dots: Vec<u8>,
}

/// Between two pictures side by side, px.
const GAP: u32 = 4;
const GAP_DOT: u8 = 32;

impl Frame {
    /// The picture as a PNG file's bytes.
    ///
    /// # Errors
    /// None in practice: it is written to memory.
    pub fn png(&self) -> Result<Vec<u8>, String> {
        let mut bytes = Vec::new();
        let mut writer = encoder(&mut bytes, self).write_header().map_err(|e| e.to_string())?;
        writer.write_image_data(&self.dots).map_err(|e| e.to_string())?;
        writer.finish().map_err(|e| e.to_string())?;
        Ok(bytes)
    }

    /// # Errors
    /// One sentence when it could not be written.
    pub fn save(&self, path: &Path) -> Result<(), String> {
        files::write(path, self.png()?)
            .map_err(|e| format!("cannot write the picture {}: {}", e.path.display(), e.source))
    }

    /// Fewer shades, eight apart: a fifth of the bytes in a PNG, and the eye hardly sees it.
    pub fn soften(&mut self) {
        self.dots.iter_mut().for_each(|dot| *dot = (*dot & 0xf0) | 0x08);
    }

    /// This picture with another of the same height to its right.
    pub fn beside(&self, right: &Self) -> Self {
        let bytes = |px: u32| 3 * px as usize;
        let (a, b) = (bytes(self.width), bytes(right.width));
        let gap = vec![GAP_DOT; bytes(GAP)];
        let rows = self.dots.chunks_exact(a).zip(right.dots.chunks_exact(b));
        Self {
            width: self.width + GAP + right.width,
            height: self.height.min(right.height),
            dots: rows.flat_map(|(left, right)| [left, &gap, right].concat()).collect(),
        }
    }
}

fn encoder<'a, W: std::io::Write>(out: W, frame: &Frame) -> png::Encoder<'a, W> {
    let mut encoder = png::Encoder::new(out, frame.width, frame.height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder
}

/// Bytes of a PNG as an address that a page can hold.
pub fn data_address(png: &[u8]) -> String {
    format!("data:image/png;base64,{}", BASE64_STANDARD.encode(png))
}

/// An animated PNG, which any browser plays, written picture by picture.
pub struct Animation(png::Writer<BufWriter<File>>);

impl Animation {
    /// This many pictures like the first one, each shown for 1 / `rate` s, in a loop.
    ///
    /// # Errors
    /// What the file system says.
    pub fn new(path: &Path, first: &Frame, pictures: u32, rate: u16) -> Result<Self, String> {
        let fail = |why: &dyn std::fmt::Display| format!("{}: {why}", path.display());
        let file = File::create(path).map_err(|e| fail(&e))?;
        let mut encoder = encoder(BufWriter::new(file), first);
        encoder.set_animated(pictures, 0).map_err(|e| fail(&e))?;
        encoder.set_frame_delay(1, rate).map_err(|e| fail(&e))?;
        Ok(Self(encoder.write_header().map_err(|e| fail(&e))?))
    }

    /// # Errors
    /// What the file system says.
    pub fn add(&mut self, frame: &Frame) -> Result<(), String> {
        self.0.write_image_data(&frame.dots).map_err(|e| e.to_string())
    }

    /// # Errors
    /// What the file system says, or that pictures are missing.
    pub fn end(self) -> Result<(), String> {
        self.0.finish().map_err(|e| e.to_string())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(width: u32, height: u32, dot: u8) -> Frame {
        Frame { width, height, dots: vec![dot; 3 * (width * height) as usize] }
    }

    #[test]
    fn two_pictures_stand_side_by_side() {
        let both = plain(2, 3, 10).beside(&plain(5, 3, 20));
        assert_eq!((both.width, both.height), (2 + GAP + 5, 3));
        assert_eq!(both.dots.len(), 3 * (both.width * both.height) as usize);
        let row = 3 * both.width as usize;
        assert_eq!((both.dots[row], both.dots[row - 1]), (10, 20));
    }

    #[test]
    fn what_moves_is_read_back_as_so_many_pictures() {
        let path = std::env::temp_dir().join(format!("inchwise-moves-{}.png", std::process::id()));
        let frames = [1, 2, 3].map(|dot| plain(4, 4, dot));
        let mut film = Animation::new(&path, &frames[0], 3, 10).unwrap();
        frames.iter().for_each(|frame| film.add(frame).unwrap());
        film.end().unwrap();
        let file = std::io::BufReader::new(File::open(&path).unwrap());
        let mut reader = png::Decoder::new(file).read_info().unwrap();
        assert_eq!(reader.info().animation_control().unwrap().num_frames, 3);
        let mut dots = vec![0; 48];
        for frame in &frames {
            reader.next_frame(&mut dots).unwrap();
            assert_eq!(dots, frame.dots);
        }
        std::fs::remove_file(&path).unwrap();
    }
}
