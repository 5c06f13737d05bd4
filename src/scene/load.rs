//! Finds, reads and checks scene files, on disk or among the shipped ones.
use super::doc::Node;
use super::{Problem, Scene};
use std::path::PathBuf;
/// Where a scene comes from.
pub enum Source {
    File(PathBuf),
    Builtin(String),
}
/// A checked scene with the text tree it was made from.
pub struct Loaded {
    pub scene: Scene,
    pub doc: Node,
}
pub fn load(_name: &str, _sets: &[String]) -> Result<Loaded, Vec<Problem>> {
    unimplemented!()
}
pub fn load_from(_source: &Source, _sets: &[String]) -> Result<Loaded, Vec<Problem>> {
    unimplemented!()
}
pub fn builtin_names() -> Vec<String> {
    Vec::new()
}
pub fn shelf_paths() -> Vec<Source> {
    Vec::new()
}
