//! The program; everything is in the library.

fn main() -> std::process::ExitCode {
    #[cfg(target_family = "wasm")]
    inchwise::page::offer();
    inchwise::cli::main()
}
