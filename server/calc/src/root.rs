//! Where a rising function takes a value.

/// The argument between `low` and `high` at which the rising function `of` reaches `wanted`, to the last digit that
/// halving the interval can settle; an end of the interval where the value lies beyond it.
pub(crate) fn bisect(of: impl Fn(f64) -> f64, wanted: f64, low: f64, high: f64) -> f64 {
    let (mut low, mut high) = (low, high);
    loop {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            return middle;
        }
        if of(middle) < wanted { low = middle } else { high = middle }
    }
}

#[cfg(test)]
mod tests {
    use super::bisect;

    #[test]
    fn the_square_root_of_two_is_found_to_the_last_digits() {
        let found = bisect(|x| x * x, 2.0, 0.0, 2.0);
        assert!((found - std::f64::consts::SQRT_2).abs() < 1e-15);
    }
}
