//! Each test is a process of its own: a program that need not be moved in memory starts sooner.
fn main() {
    println!("cargo:rerun-if-changed=build.rs");
    println!("cargo:rustc-link-arg-tests=-no-pie");
}
