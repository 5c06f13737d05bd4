//! A map as PNG, for whatever does not show SVG.

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};
use std::sync::Arc;

/// Dots for each drawing unit: sharp in print at the size of a page.
const DOTS: f32 = 2.0;

/// Why a map is no picture.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum RasterError {
    #[error(transparent)]
    Svg(#[from] resvg::usvg::Error),
    #[error("the map is too large for a picture")]
    Large,
    #[error("{0}")]
    Png(Box<dyn std::error::Error + Send + Sync>),
}

/// SVG text as the bytes of a PNG, in the typeface that the pictures use.
///
/// # Errors
/// Text that is no SVG, or too large for a picture.
pub fn png(svg: &str) -> Result<Vec<u8>, RasterError> {
    let mut options = Options { font_family: "DejaVu Sans".into(), ..Options::default() };
    let fonts = Arc::make_mut(&mut options.fontdb);
    fonts.load_font_data(dejavu::sans::regular().to_vec());
    fonts.load_font_data(dejavu::sans::bold().to_vec());
    let tree = Tree::from_str(svg, &options)?;
    let size = tree.size();
    let (wide, high) = ((size.width() * DOTS).ceil(), (size.height() * DOTS).ceil());
    let mut dots = Pixmap::new(wide as u32, high as u32).ok_or(RasterError::Large)?;
    resvg::render(&tree, Transform::from_scale(DOTS, DOTS), &mut dots.as_mut());
    dots.encode_png().map_err(|why| RasterError::Png(why.into()))
}
