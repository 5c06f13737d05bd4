//! The console of a program that opens a window. On Windows a double click brings one with it,
//! which would stay behind the window; once the program has left it, what is wrong is told in
//! a box. Elsewhere the terminal is the user's own and is kept.

use std::fmt::Display;
#[cfg(windows)]
use winsafe::{FreeConsole, HWND, co, prelude::Handle};

/// Leaves the console, before a window opens.
pub fn leave() {
    // There is none where the system gave none; nothing is lost then.
    #[cfg(windows)]
    let _ = FreeConsole();
}

/// Tells why there is no window, where the console that would show it has been left.
pub fn tell(why: &dyn Display) {
    #[cfg(windows)]
    let _ = HWND::NULL.MessageBox(&why.to_string(), "Inchwise", co::MB::ICONERROR);
    #[cfg(not(windows))]
    let _ = why;
}
