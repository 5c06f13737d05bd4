//! A drawn picture as plain bytes: written as PNG, put beside another, strung together
//! into a picture that moves, or put into a page.

use crate::files;
use crate::view::picture_error::PictureError;
use base64::prelude::{BASE64_STANDARD, Engine};
use bevy::image::Image;
use std::fs::File;
use std::io::{self, BufReader, BufWriter, Write};
use std::path::{Path, PathBuf};

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
    /// What the renderer drew.
    ///
    /// # Errors
    /// That its format is none of a picture's.
    pub fn drawn(image: Image) -> Result<Self, PictureError> {
        let dots = image.try_into_dynamic()?.to_rgb8();
        Ok(Self { width: dots.width(), height: dots.height(), dots: dots.into_raw() })
    }

    /// A picture that [`Self::save`] wrote.
    fn read(path: &Path) -> io::Result<Self> {
        let mut reader = png::Decoder::new(BufReader::new(File::open(path)?)).read_info()?;
        let (width, height) = (reader.info().width, reader.info().height);
        let mut dots = vec![0; 3 * (width * height) as usize];
        reader.next_frame(&mut dots)?;
        Ok(Self { width, height, dots })
    }

    /// The picture as a PNG file's bytes.
    ///
    /// # Errors
    /// None in practice: it is written to memory.
    pub fn png(&self) -> Result<Vec<u8>, PictureError> {
        let mut bytes = Vec::new();
        let mut writer = encoder(&mut bytes, self).write_header()?;
        writer.write_image_data(&self.dots)?;
        writer.finish()?;
        Ok(bytes)
    }

    /// # Errors
    /// One sentence when it could not be written.
    pub fn save(&self, path: &Path) -> Result<(), PictureError> {
        files::write(path, self.png()?).map_err(PictureError::Write)
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

fn encoder<'a, W: Write>(out: W, frame: &Frame) -> png::Encoder<'a, W> {
    let mut encoder = png::Encoder::new(out, frame.width, frame.height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder
}

/// Bytes of a PNG as an address that a page can hold.
pub fn data_address(png: &[u8]) -> String {
    format!("data:image/png;base64,{}", BASE64_STANDARD.encode(png))
}

/// Strings PNG files of one size together into an animated PNG, which any browser plays: each is
/// shown for 1 / `rate` s, in a loop. It is there whole or not at all.
///
/// # Errors
/// What the file system says, or which picture cannot be read.
pub fn animate(path: &Path, pictures: &[PathBuf], rate: u16) -> Result<(), PictureError> {
    files::write_with(path, |out| string_together(out, pictures, rate))
        .map_err(|why| PictureError::Animation { path: why.path, source: why.source })
}

fn string_together(out: &mut dyn Write, pictures: &[PathBuf], rate: u16) -> io::Result<()> {
    let Some((first, others)) = pictures.split_first() else { return Ok(()) };
    let first = Frame::read(first)?;
    let mut out = BufWriter::new(out);
    let mut encoder = encoder(&mut out, &first);
    encoder.set_animated(pictures.len() as u32, 0)?;
    encoder.set_frame_delay(1, rate)?;
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&first.dots)?;
    for path in others {
        writer.write_image_data(&Frame::read(path)?.dots)?;
    }
    writer.finish()?;
    out.flush()
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
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("moves.png");
        let frames = [1, 2, 3].map(|dot| plain(4, 4, dot));
        let pictures = ["1.png", "2.png", "3.png"].map(|name| folder.path().join(name));
        for (frame, path) in frames.iter().zip(&pictures) {
            frame.save(path).unwrap();
        }
        animate(&path, &pictures, 10).unwrap();
        let file = BufReader::new(File::open(&path).unwrap());
        let mut reader = png::Decoder::new(file).read_info().unwrap();
        assert_eq!(reader.info().animation_control().unwrap().num_frames, 3);
        let mut dots = vec![0; 48];
        for frame in &frames {
            reader.next_frame(&mut dots).unwrap();
            assert_eq!(dots, frame.dots);
        }
        // A picture that is missing leaves the good animation as it was.
        let before = std::fs::read(&path).unwrap();
        std::fs::remove_file(&pictures[1]).unwrap();
        let said = animate(&path, &pictures, 10).unwrap_err().to_string();
        assert!(said.contains("moves.png"), "{said}");
        assert_eq!(std::fs::read(&path).unwrap(), before);
    }
}
