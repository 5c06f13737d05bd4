//! Finds, reads and checks scene files, on disk or among the shipped ones, and
//! applies changes given as `--change PATH=VALUE`.

use super::model::Scene;
use super::read::{OTHER_STAND_INS, Problem, Problems};
use super::schema::word_keys;
use super::tree::{self, Node, PathError, Place, Value};
use super::{print, reader, rules};
use crate::files::{self, ReadError};
use crate::units::UnitText;
use include_dir::{Dir, include_dir};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The scenes that travel inside the program.
static SHIPPED: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/scenes");
/// Where scenes are looked for first.
pub const FOLDER: &str = "scenes";
const VEHICLES: &str = "vehicles";
/// The longest chain of scenes that are each `like` the next.
const DEEPEST: usize = 4;
/// No scene needs more than a few kilobytes.
pub const LARGEST_BYTES: u64 = 1 << 20;
const TOO_LARGE: &str = "is larger than 1 MiB, which no scene needs; give a scene file";

/// Where a scene comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Source {
    File(PathBuf),
    Builtin(String),
    /// A text from outside. What it names is looked for among the shipped files only.
    Handed {
        /// What its file was called.
        name: String,
        text: String,
    },
}

impl Source {
    /// A file from outside, of which nothing is known.
    ///
    /// # Errors
    /// That it is too large, or no text.
    pub fn handed(name: &str, bytes: Vec<u8>) -> Result<Self, Vec<Problem>> {
        let path = Path::new(name);
        if bytes.len() as u64 > LARGEST_BYTES {
            return Err(problem(start_of(path), "", TOO_LARGE));
        }
        Ok(Self::Handed { name: name.to_owned(), text: text_in(path, bytes)? })
    }

    /// Its file name without the ending, which is how a scene names its twin.
    pub fn name(&self) -> String {
        match self {
            Self::File(path) => scene_name(path).unwrap_or_default(),
            Self::Builtin(name) | Self::Handed { name, .. } => name.clone(),
        }
    }

    /// What to type to name it.
    pub fn shown(&self) -> String {
        match self {
            Self::File(path) => path.display().to_string(),
            Self::Builtin(name) | Self::Handed { name, .. } => name.clone(),
        }
    }
}

/// A checked scene with the text tree it was made from.
pub struct Loaded {
    pub scene: Scene,
    pub doc: Node,
}

/// Reads and checks a scene by its path or by its name on the shelf.
///
/// # Errors
/// Everything that is wrong with it, in the order of files and lines.
pub fn load(name: &str, changes: &[String]) -> Result<Loaded, Vec<Problem>> {
    load_from(&find(name)?, changes)
}

/// Reads and checks a scene.
///
/// # Errors
/// As [`load`].
pub fn load_from(source: &Source, changes: &[String]) -> Result<Loaded, Vec<Problem>> {
    let (doc, mut problems) = read_doc(source, changes)?;
    if let Some(Node { value: Value::Text(twin), place }) = doc.get("twin")
        && beside(source, twin.trim()).is_none()
    {
        problems.extend(problem(place.clone(), "twin", no_scene(twin)));
    }
    match scene_from_tree(&doc) {
        Ok(scene) if problems.is_empty() => Ok(Loaded { scene, doc }),
        Ok(_) => Err(problems),
        Err(more) => {
            problems.extend(more);
            Err(sorted(problems))
        }
    }
}

/// The tree of a scene with its vehicle and changes in place, to be edited further.
///
/// # Errors
/// What cannot be read, or a change that leads nowhere.
pub fn tree_of(name: &str, changes: &[String]) -> Result<Node, Vec<Problem>> {
    let (doc, problems) = read_doc(&find(name)?, changes)?;
    if problems.is_empty() { Ok(doc) } else { Err(problems) }
}

/// Checks a tree whose vehicle is in place.
///
/// # Errors
/// Everything that is wrong with it, in the order of files and lines.
pub fn scene_from_tree(doc: &Node) -> Result<Scene, Vec<Problem>> {
    match read_and_check(doc) {
        (Some(scene), problems) if problems.is_empty() => Ok(scene),
        (_, problems) => Err(problems),
    }
}

/// What a tree says as far as each field can be read, and everything that is wrong with
/// it. A scene with problems may be drawn, never played.
pub fn read_and_check(doc: &Node) -> (Option<Scene>, Vec<Problem>) {
    let problems = Problems::default();
    let scene = reader::scene(doc, &problems);
    if let Some(scene) = &scene {
        rules::check(scene, doc, &problems);
    }
    (scene, sorted(problems.into_vec()))
}

/// A scene with problems, as far as it can be read: for the sheet, never to be played. What
/// cannot be read is left out, and a number or a choice has a stand-in.
pub struct Incomplete {
    pub scene: Scene,
    /// The path of each field that has a stand-in, and the scene with another one: a result
    /// that differs depends on that field.
    pub others: Vec<(String, Scene)>,
    pub problems: Vec<Problem>,
}

/// Reads a scene with problems. Its text must be well formed, and the vehicle must have at
/// least its outline: without them nothing can be worked out.
///
/// # Errors
/// Everything that is wrong with it, where not even that much can be read.
pub fn load_incomplete(name: &str, changes: &[String]) -> Result<Incomplete, Vec<Problem>> {
    /// The most fields with a stand-in that are told apart; more are too many for a sheet.
    const MOST: usize = 12;
    let source = find(name)?;
    let Err(problems) = load_from(&source, changes) else { return Err(Vec::new()) };
    let Ok((doc, _)) = read_doc(&source, changes) else { return Err(problems) };
    let read = |other: Option<(&str, f64)>| {
        let found = Problems::with_stand_ins(other);
        let scene = reader::scene(&doc, &found);
        (scene, found.stood_in())
    };
    let (Some(scene), stood_in) = read(None) else { return Err(problems) };
    if stood_in.len() > MOST {
        return Err(problems);
    }
    let others = stood_in
        .into_iter()
        .flat_map(|path| {
            let other = |share| Some((path.clone(), read(Some((&path, share))).0?));
            OTHER_STAND_INS.into_iter().filter_map(other).collect::<Vec<_>>()
        })
        .collect();
    Ok(Incomplete { scene, others, problems })
}

/// The tree of a scene file with its vehicle in place, checked or not.
///
/// # Errors
/// What cannot be read.
pub fn tree_of_file(path: &Path) -> Result<Node, Vec<Problem>> {
    tree_from(&Source::File(path.to_owned()))
}

/// The tree of a scene with its vehicle in place, checked or not.
///
/// # Errors
/// What cannot be read.
pub fn tree_from(source: &Source) -> Result<Node, Vec<Problem>> {
    read_doc(source, &[]).map(|(doc, _)| doc)
}

/// The tree of a scene that is given as text.
///
/// # Errors
/// What cannot be read, such as a vehicle that there is not.
pub fn tree_of_text(text: &str) -> Result<Node, Vec<Problem>> {
    let mut doc = parse(Path::new("new scene"), text)?;
    splice_vehicle(&mut doc, &Source::Builtin(String::new()))?;
    Ok(doc)
}

/// A tree as the text of a scene file to be put at `path`. A vehicle that has a file of its own
/// there is written as its name; any other is written out.
pub fn text_of(doc: &Node, path: &Path) -> String {
    let named = || {
        let Place::File { file, .. } = &doc.get("vehicle")?.place else { return None };
        let name = file.file_stem()?.to_string_lossy().into_owned();
        let mut short = doc.clone();
        *short.get_mut("vehicle")? = Node { place: Place::Hand, value: Value::Text(name) };
        let mut long = short.clone();
        splice_vehicle(&mut long, &Source::File(path.to_owned())).ok()?;
        (long == *doc).then_some(short)
    };
    print::scene(named().as_ref().unwrap_or(doc))
}

/// Names of the known vehicles: shipped ones, and those in `./scenes/vehicles`.
pub fn vehicle_names() -> Vec<String> {
    let here = files::list(&Path::new(FOLDER).join(VEHICLES));
    let here = here.iter().filter_map(|path| scene_name(path));
    let mut names: Vec<String> = here.chain(shipped_vehicles()).collect();
    names.sort();
    names.dedup();
    names
}

/// Names of the shipped scenes.
pub fn builtin_names() -> Vec<String> {
    let mut names: Vec<String> = SHIPPED.files().filter_map(|f| scene_name(f.path())).collect();
    names.sort();
    names
}

/// The scene files of a folder by name; none where it cannot be read.
pub fn files_in(folder: &Path) -> Vec<Source> {
    let paths = files::list(folder).into_iter().filter(|path| scene_name(path).is_some());
    paths.map(Source::File).collect()
}

/// The scenes on the shelf: those in `./scenes` where that folder exists, else the
/// shipped ones.
fn scene_files() -> Vec<Source> {
    let here = Path::new(FOLDER);
    if files::is_folder(here) {
        return files_in(here);
    }
    builtin_names().into_iter().map(Source::Builtin).collect()
}

/// The shelf by group, then by file name, so that twins may stand side by side; what
/// cannot be read comes last.
pub fn shelf_paths() -> Vec<Source> {
    let mut keyed: Vec<_> = scene_files()
        .into_iter()
        .map(|source| {
            let doc = read_doc(&source, &[]).ok().map(|(doc, _)| doc);
            let group = doc.as_ref().and_then(|doc| match &doc.get("group")?.value {
                Value::Text(text) => Some(text.clone()),
                _ => None,
            });
            let key = (doc.is_none(), group, source_path(&source));
            (key, source)
        })
        .collect();
    keyed.sort_by(|(a, _), (b, _)| a.cmp(b));
    keyed.into_iter().map(|(_, source)| source).collect()
}

/// The name of a scene file without its ending, or none for another kind of file.
fn scene_name(path: &Path) -> Option<String> {
    let is_scene = path.extension().is_some_and(|e| e == "ron");
    is_scene.then(|| path.file_stem().map(|name| name.to_string_lossy().into_owned()))?
}

/// How a source is named in problems.
fn source_path(source: &Source) -> PathBuf {
    match source {
        Source::File(path) => path.clone(),
        Source::Builtin(name) => PathBuf::from(format!("shipped scenes/{name}.ron")),
        Source::Handed { name, .. } => PathBuf::from(name),
    }
}

fn problem(place: Place, path: &str, text: impl Into<UnitText>) -> Vec<Problem> {
    vec![Problem { place, path: path.to_owned(), text: text.into() }]
}

fn start_of(path: &Path) -> Place {
    Place::File { file: Arc::new(path.to_owned()), line: 1, column: 1 }
}

/// In the order of mending: by file and line, then the changes.
fn sorted(mut problems: Vec<Problem>) -> Vec<Problem> {
    problems.sort_by(|a, b| {
        let key = |p: &Problem| match &p.place {
            Place::File { file, line, column } => (0, file.as_path().to_owned(), *line, *column),
            Place::Change(text) => (1, PathBuf::from(&**text), 0, 0),
            Place::Hand => (2, PathBuf::new(), 0, 0),
        };
        key(a).cmp(&key(b))
    });
    problems
}

/// A path is taken as it is; a bare name is looked up in `./scenes`, then among the
/// shipped scenes.
fn find(name: &str) -> Result<Source, Vec<Problem>> {
    let path = Path::new(name);
    let bare = path.components().count() == 1 && path.extension().is_none_or(|e| e != "ron");
    if !bare || files::is_file(path) {
        return Ok(Source::File(path.to_owned()));
    }
    let here = Path::new(FOLDER).join(format!("{name}.ron"));
    if files::is_file(&here) {
        return Ok(Source::File(here));
    }
    if SHIPPED.get_file(format!("{name}.ron")).is_some() {
        return Ok(Source::Builtin(name.to_owned()));
    }
    let text = format!("{}; or give the path of a file", no_scene(name));
    Err(problem(start_of(path), "", text))
}

/// The message for a name that leads to no scene.
fn no_scene(name: &str) -> String {
    let mut known: Vec<String> = scene_files()
        .iter()
        .filter_map(|source| scene_name(&source_path(source)))
        .chain(builtin_names())
        .collect();
    known.sort();
    known.dedup();
    format!("there is no scene of the name \"{name}\"; choose from {}", known.join(", "))
}

/// The tree of a scene with its vehicle and changes in place, and the changes that
/// could not be made.
fn read_doc(source: &Source, texts: &[String]) -> Result<(Node, Vec<Problem>), Vec<Problem>> {
    let (mut doc, mut changes) = written(source, DEEPEST)?;
    let mut problems = Vec::new();
    for text in texts {
        let whole: Arc<str> = text.as_str().into();
        match text.split_once('=') {
            Some((path, value)) => {
                changes.push((path.trim().to_owned(), tree::parse_change_value(value, &whole)));
            }
            None => problems.extend(problem(
                Place::Change(whole),
                "",
                "has no `=`; write PATH=VALUE such as stacks.left.layers=5",
            )),
        }
    }
    // Which vehicle it is must be known before a field of that vehicle can be changed.
    let (vehicles, others): (Vec<_>, Vec<_>) =
        changes.into_iter().partition(|(path, _)| path == "vehicle");
    let mut apply = |doc: &mut Node, changes: Vec<FieldChange>| {
        for (path, node) in changes {
            let place = node.place.clone();
            if let Err(why) = doc.set(&path, node) {
                let path = match why {
                    PathError::TooLong { .. } => {
                        path.chars().take(40).chain("...".chars()).collect()
                    }
                    _ => path,
                };
                problems.extend(problem(place, &path, why.to_string()));
            }
        }
    };
    apply(&mut doc, vehicles);
    splice_vehicle(&mut doc, source)?;
    apply(&mut doc, others);
    Ok((doc, problems))
}

/// A value for the end of a dotted path.
type FieldChange = (String, Node);

/// The tree of a file and the changes to make to it. A scene that is `like` another has that
/// one's tree with its own texts.
fn written(source: &Source, depth: usize) -> Result<(Node, Vec<FieldChange>), Vec<Problem>> {
    let (path, text) = match source {
        Source::File(path) => (path.clone(), read_text(path)?),
        Source::Builtin(name) => (source_path(source), shipped_scene(name)?),
        Source::Handed { text, .. } => (source_path(source), text.clone()),
    };
    let own = parse(&path, &text)?;
    let Some(like) = own.get("like") else { return Ok((own, Vec::new())) };
    let complain = |key: &str, place: &Place, text: &str| Err(problem(place.clone(), key, text));
    let Value::Text(name) = &like.value else {
        return complain("like", &like.place, "needs the name of a scene, such as \"beam-lift\"");
    };
    if depth == 0 {
        return complain(
            "like",
            &like.place,
            "is a scene like a scene and so on; copy one of them",
        );
    }
    let Some(base) = beside(source, name) else {
        return complain("like", &like.place, &no_scene(name));
    };
    let (mut doc, mut changes) = written(&base, depth - 1)?;
    let Value::Table(fields) = own.value else { return Ok((doc, changes)) };
    // A scene's texts about itself stand next to `like`; everything else in it is a `change`.
    let words = word_keys(|_| true);
    let kept_back = word_keys(|word| !word.inherited);
    if let Value::Table(base) = &mut doc.value {
        base.retain(|(key, _)| !kept_back.contains(&key.as_str()));
    }
    doc.place = own.place;
    for (key, node) in fields {
        match (key.as_str(), node.value) {
            ("like", _) => {}
            ("change", Value::Table(own)) => changes.extend(own),
            ("change", _) => {
                let text = "needs changes such as { \"stacks.left.layers\": 5 }";
                return complain("change", &node.place, text);
            }
            (word, value) if words.contains(&word) => {
                let node = Node { place: node.place, value };
                doc.set(&key, node)
                    .map_err(|why| problem(doc.place.clone(), &key, why.to_string()))?;
            }
            _ => {
                let text = format!(
                    "a scene that is like another says this under `change`: {{ \"{key}\": ... }}; \
                     beside it stand only {}",
                    words.join(", ")
                );
                return complain(&key, &node.place, &text);
            }
        }
    }
    Ok((doc, changes))
}

/// A scene that another one names: in the same folder, else on the shelf.
fn beside(source: &Source, name: &str) -> Option<Source> {
    let file = format!("{name}.ron");
    if Path::new(&file).components().count() != 1 {
        return None;
    }
    let near = match source {
        Source::File(path) => path.parent().map(|folder| folder.join(&file)),
        Source::Builtin(_) => None,
        Source::Handed { .. } => {
            return SHIPPED.get_file(&file).map(|_| Source::Builtin(name.to_owned()));
        }
    };
    if let Some(path) = near.filter(|path| files::is_file(path)) {
        return Some(Source::File(path));
    }
    find(name).ok()
}

/// Puts the vehicle's own file in the place of its name.
fn splice_vehicle(doc: &mut Node, source: &Source) -> Result<(), Vec<Problem>> {
    let Some(Node { value: Value::Text(name), place }) = doc.get("vehicle") else { return Ok(()) };
    let complain = |text: String| problem(place.clone(), "vehicle", text);
    let file = format!("{}.ron", name.trim());
    if Path::new(&file).components().count() != 1 {
        return Err(complain("needs the name of a vehicle, not a path; write \"saloon\"".into()));
    }
    let here = Path::new(FOLDER).join(VEHICLES).join(&file);
    let places = match source {
        Source::File(path) => {
            let beside = path.parent().map(|folder| folder.join(VEHICLES).join(&file));
            beside.into_iter().chain([here]).collect()
        }
        Source::Builtin(_) => vec![here],
        Source::Handed { .. } => Vec::new(),
    };
    let on_disk = places.into_iter().find(|path| files::is_file(path));
    let (path, text) = match on_disk {
        Some(path) => {
            let text = read_text(&path)?;
            (path, text)
        }
        None => {
            let inside = format!("{VEHICLES}/{file}");
            let text = shipped(&inside).ok_or_else(|| {
                complain(format!(
                    "there is no vehicle \"{}\" in the folder `{VEHICLES}` beside the scene; put \
                     {file} there, or choose from {}",
                    name.trim(),
                    shipped_vehicles().join(", ")
                ))
            })?;
            (PathBuf::from(format!("shipped scenes/{inside}")), text)
        }
    };
    let vehicle = parse(&path, &text)?;
    if let Some(named) = doc.get_mut("vehicle") {
        *named = vehicle;
    }
    Ok(())
}

fn shipped_vehicles() -> Vec<String> {
    SHIPPED
        .get_dir(VEHICLES)
        .into_iter()
        .flat_map(Dir::files)
        .filter_map(|f| scene_name(f.path()))
        .collect()
}

fn shipped_scene(name: &str) -> Result<String, Vec<Problem>> {
    let path = format!("{name}.ron");
    shipped(&path).ok_or_else(|| {
        let known = builtin_names().join(", ");
        problem(start_of(Path::new(&path)), "", format!("is not shipped; choose from {known}"))
    })
}

fn shipped(path: &str) -> Option<String> {
    let file = SHIPPED.get_file(path).and_then(include_dir::File::contents_utf8);
    file.map(str::to_owned)
}

fn parse(path: &Path, text: &str) -> Result<Node, Vec<Problem>> {
    tree::parse(&Arc::new(path.to_owned()), text).map_err(|why| {
        let text = format!("cannot be read from here on: {why}; mend the text there");
        problem(why.place().clone(), "", text)
    })
}

/// Reads a file; a user may name anything here.
fn read_text(path: &Path) -> Result<String, Vec<Problem>> {
    let fail = |text: &str| problem(start_of(path), "", text);
    let bytes = files::read(path, LARGEST_BYTES).map_err(|why| match why {
        ReadError::Folder => fail("is a folder; give the path of a scene file in it"),
        ReadError::NotPlain => fail("is not a plain file; give the path of a scene file"),
        ReadError::TooLarge { .. } => fail(TOO_LARGE),
        why => fail(&why.to_string()),
    })?;
    text_in(path, bytes)
}

/// The text that bytes are.
fn text_in(path: &Path, bytes: Vec<u8>) -> Result<String, Vec<Problem>> {
    String::from_utf8(bytes).map_err(|e| {
        let good = &e.as_bytes()[..e.utf8_error().valid_up_to()];
        let line = 1 + good.iter().filter(|&&b| b == b'\n').count();
        let column = 1 + good.iter().rev().take_while(|&&b| b != b'\n').count();
        problem(
            Place::File { file: Arc::new(path.to_owned()), line, column },
            "",
            "is not text in UTF-8 from here on; save the scene as UTF-8 text",
        )
    })
}
