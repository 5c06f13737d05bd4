//! A file's ways in and out of a page: files dropped onto it or chosen, downloads, and pages in
//! a tab of their own. The only file of the view that names the browser.

use super::state::{ActionsCarriedOut, CurrentSession, WindowInput};
use crate::draft::keep;
use crate::session::{Action, LARGEST_FILE_BYTES};
use bevy::prelude::*;
use js_sys::{Array, Uint8Array};
use std::cell::{Cell, RefCell};
use wasm_bindgen::closure::{Closure, WasmClosureFnOnce};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{
    BeforeUnloadEvent, Blob, BlobPropertyBag, Document, DragEvent, File, FileList, FileReader,
    HtmlAnchorElement, HtmlInputElement, Url,
};

/// How many files are taken of those that are handed over at once.
const HANDED_AT_MOST: u32 = 8;

/// A file that has been read, or why it was not.
type Handed = Result<(String, Vec<u8>), String>;

thread_local! {
    /// What the browser has read, until the window asks for it.
    static HANDED: RefCell<Vec<Handed>> = const { RefCell::new(Vec::new()) };
    /// Whether something would be asked for before the page is left.
    static UNSAVED: Cell<bool> = const { Cell::new(false) };
}

/// Takes in what is dropped onto the page, and asks before the page is left with unsaved work.
pub fn plugin(app: &mut App) {
    if let Some(document) = document() {
        listen(&document, "dragover", |event: DragEvent| event.prevent_default());
        listen(&document, "drop", |event: DragEvent| {
            // Else the browser would leave the page for the file.
            event.prevent_default();
            if let Some(files) = event.data_transfer().and_then(|carried| carried.files()) {
                read_all(&files);
            }
        });
    }
    if let Some(window) = web_sys::window() {
        listen(&window, "beforeunload", |event: BeforeUnloadEvent| {
            if UNSAVED.get() {
                event.prevent_default();
                event.set_return_value("unsaved");
            }
        });
    }
    app.add_systems(
        PreUpdate,
        take_handed.after(bevy::input::InputSystems).before(ActionsCarriedOut),
    )
    // In the frame that saves, too.
    .add_systems(Update, note_unsaved);
}

fn document() -> Option<Document> {
    web_sys::window()?.document()
}

/// Listens as long as the page is there.
fn listen<E>(target: &web_sys::EventTarget, event: &str, act: impl Fn(E) + 'static)
where
    E: wasm_bindgen::convert::FromWasmAbi + 'static,
{
    let closure = Closure::<dyn Fn(E)>::new(act).into_js_value();
    let _ = target.add_event_listener_with_callback(event, closure.unchecked_ref());
}

fn take_handed(mut asked: ResMut<WindowInput>, mut session: ResMut<CurrentSession>) {
    for handed in HANDED.take() {
        match handed {
            Ok((name, bytes)) => asked.inputs.push(Action::TakeFile { name, bytes }),
            Err(why) => session.tell(why),
        }
    }
}

fn note_unsaved(session: Res<CurrentSession>) {
    UNSAVED.set(session.unsaved().is_some());
}

fn hand_over(handed: Handed) {
    HANDED.with_borrow_mut(|all| all.push(handed));
}

fn read_all(files: &FileList) {
    let count = files.length().min(HANDED_AT_MOST);
    (0..count).filter_map(|i| files.get(i)).for_each(|file| read(&file));
}

/// Reads a file; it is handed over when the browser is done.
fn read(file: &File) {
    let name = file.name();
    if file.size() > LARGEST_FILE_BYTES as f64 {
        return hand_over(Err(format!("{name} is larger than 5 MB; give a scene or an export.")));
    }
    let Ok(reader) = FileReader::new() else { return };
    let of = reader.clone();
    let done = move || {
        hand_over(match of.result() {
            Ok(buffer) if !buffer.is_null() => Ok((name, Uint8Array::new(&buffer).to_vec())),
            _ => Err(format!("{name} cannot be read by the browser.")),
        });
    };
    reader.set_onloadend(Some(done.into_js_function().unchecked_ref()));
    let _ = reader.read_as_array_buffer(file);
}

/// Downloads a file.
pub fn save(name: &str, text: &str) -> String {
    match download(name, text, "text/plain;charset=utf-8") {
        Some(()) => format!("{name} is among your downloads, or where the browser asks for."),
        None => format!("The browser does not take {name}."),
    }
}

fn download(name: &str, text: &str, kind: &str) -> Option<()> {
    let anchor: HtmlAnchorElement = document()?.create_element("a").ok()?.dyn_into().ok()?;
    anchor.set_href(&address(text, kind)?);
    anchor.set_download(name);
    anchor.click();
    Some(())
}

/// An address for a text. It holds as long as the page is there: a tab that shows it may be
/// loaded again.
fn address(text: &str, kind: &str) -> Option<String> {
    let about = BlobPropertyBag::new();
    about.set_type(kind);
    let texts = Array::of1(&JsValue::from_str(text));
    let blob = Blob::new_with_str_sequence_and_options(&texts, &about).ok()?;
    Url::create_object_url_with_blob(&blob).ok()
}

/// Has the browser ask for files; where it cannot, says so.
pub fn ask_for_file() -> Option<String> {
    let ask = || -> Option<()> {
        let input: HtmlInputElement = document()?.create_element("input").ok()?.dyn_into().ok()?;
        input.set_type("file");
        input.set_accept(".ron,.json");
        input.set_multiple(true);
        // It stays alive until it is answered.
        let of = input.clone();
        let done = move || {
            if let Some(files) = of.files() {
                read_all(&files);
            }
        };
        input.set_onchange(Some(done.into_js_function().unchecked_ref()));
        input.click();
        Some(())
    };
    ask().is_none().then(|| "Drop the file onto this page.".to_owned())
}

/// Shows a page in a tab of its own, or downloads it where the browser opens none; what is to be
/// told of it.
pub fn show_page(title: &str, html: &str) -> Option<String> {
    const KIND: &str = "text/html;charset=utf-8";
    let opened = address(html, KIND).zip(web_sys::window()).and_then(|(address, window)| {
        window.open_with_url_and_target(&address, "_blank").ok().flatten()
    });
    if opened.is_some() {
        return None;
    }
    let name = format!("{}.html", keep::stem(title));
    Some(match download(&name, html, KIND) {
        Some(()) => format!("The browser opens no tab; the page is the download {name}."),
        None => "The browser neither opens the page nor loads it down.".to_owned(),
    })
}
