//! Every check case under tests/cases/, answered by the computation it names and held to its tolerance.
use serde_json::Value;
use std::fs;
use std::path::Path;

/// The first place where `found` departs from `wanted` beyond the tolerance.
fn departure(wanted: &Value, found: &Value, tolerance: &Value, path: &str) -> Option<String> {
    let wrong = || Some(format!("{path}: want {wanted}, got {found}"));
    match (wanted, found) {
        (Value::Object(wanted), Value::Object(found)) => wanted.iter().find_map(|(key, value)| {
            let path = format!("{path}.{key}");
            let Some(other) = found.get(key) else { return Some(format!("{path}: missing")) };
            let is_plain = tolerance.get("rel").is_some() || tolerance.get("abs").is_some();
            let inner = if tolerance.is_string() || is_plain { tolerance } else { &tolerance[key] };
            departure(value, other, inner, &path)
        }),
        (Value::Array(wanted), Value::Array(found)) if wanted.len() == found.len() => {
            let mut pairs = wanted.iter().zip(found).enumerate();
            pairs.find_map(|(n, (one, two))| departure(one, two, tolerance, &format!("{path}[{n}]")))
        }
        (Value::Number(one), Value::Number(two)) => {
            let is_close = close(one.as_f64()?, two.as_f64()?, one.is_f64(), tolerance);
            if is_close { None } else { wrong() }
        }
        _ if wanted == found => None,
        _ => wrong(),
    }
}

fn close(wanted: f64, found: f64, is_float: bool, tolerance: &Value) -> bool {
    let (rel, abs) = (tolerance["rel"].as_f64(), tolerance["abs"].as_f64());
    let gap = (wanted - found).abs();
    if rel.is_none() && abs.is_none() {
        let share = if is_float && tolerance.is_null() { 1e-6 } else { 1e-12 };
        return gap <= share * wanted.abs();
    }
    gap == 0.0 || rel.is_some_and(|rel| gap <= rel * wanted.abs()) || abs.is_some_and(|abs| gap <= abs)
}

fn fault(case: &Value) -> Option<String> {
    let verb = case["verb"].as_str().expect("a verb");
    let answer = calc::compute::run(verb, case["inputs"].clone());
    let found = match (&answer, case["expected"].get("error").is_some()) {
        (Err(error), true) => return error.field.is_empty().then(|| "the refusal names no field".to_owned()),
        (Ok(answer), true) => Some(format!("must be refused, got {answer}")),
        (Err(error), false) => Some(format!("refused: {error}")),
        (Ok(answer), false) => departure(&case["expected"], answer, &case["tolerance"], ""),
    };
    found.map(|fault| format!("{} {fault}", case["id"]))
}

#[test]
fn every_check_case_agrees_within_its_tolerance() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/cases");
    let mut faults = Vec::new();
    let mut count = 0;
    for entry in fs::read_dir(folder).expect("the folder of cases") {
        let text = fs::read_to_string(entry.expect("a file").path()).expect("a readable file");
        let file: Value = serde_json::from_str(&text).expect("JSON");
        let cases = file["cases"].as_array().expect("a list of cases");
        count += cases.len();
        faults.extend(cases.iter().filter_map(fault));
    }
    assert!(count > 50, "only {count} cases found");
    assert!(faults.is_empty(), "{} of {count} disagree:\n{}", faults.len(), faults.join("\n"));
}
