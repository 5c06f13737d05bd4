//! The program; everything is in the library.

fn main() -> std::process::ExitCode {
    #[cfg(target_family = "wasm")]
    inchwise::web_page::offer();
    inchwise::cli::main()
}
