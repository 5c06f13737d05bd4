//! A map as PNG, for whatever does not show SVG.

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};
use std::path::Path;
use std::sync::Arc;

/// Dots for each drawing unit: sharp in print at the size of a page.
const DOTS: f32 = 2.0;

/// Writes SVG text as PNG, in the typeface that the pictures use.
///
/// # Errors
/// What the file system says.
pub fn write_png(svg: &str, path: &Path) -> Result<(), String> {
    let mut options = Options { font_family: "DejaVu Sans".into(), ..Options::default() };
    let fonts = Arc::make_mut(&mut options.fontdb);
    fonts.load_font_data(dejavu::sans::regular().to_vec());
    fonts.load_font_data(dejavu::sans::bold().to_vec());
    let tree = Tree::from_str(svg, &options).map_err(|e| e.to_string())?;
    let size = tree.size();
    let (wide, high) = ((size.width() * DOTS).ceil(), (size.height() * DOTS).ceil());
    let mut dots =
        Pixmap::new(wide as u32, high as u32).ok_or("the map is too large for a picture")?;
    resvg::render(&tree, Transform::from_scale(DOTS, DOTS), &mut dots.as_mut());
    dots.save_png(path).map_err(|e| e.to_string())
}
