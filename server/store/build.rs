fn main() {
    // A new migration file is not a change of any source file: say so, or it is not picked up.
    println!("cargo:rerun-if-changed=../../migrations");
}
