//! Several columns, by Householder reflections: the normal equations would lose half the digits.
//!
//! # References
//! Golub & Van Loan 2013, *Matrix Computations*, section 5.3; checked against NIST StRD Longley.

/// Coefficients of a least-squares fit.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// One coefficient a column.
    pub coefficients: Vec<f64>,
    /// Residual sum of squares.
    pub residual_squares: f64,
}

/// Share of a column's length below which what others leave of it is rounding: the columns are then dependent.
const DEPENDENT: f64 = 1e-13;

/// Fit of `y` by `columns`, all of the length of `y`; a column of ones is the constant.
///
/// `None` if lengths differ, there are fewer rows than columns, a number is not finite, or columns are dependent.
#[must_use]
pub fn least_squares(columns: &[&[f64]], y: &[f64]) -> Option<Fit> {
    let (rows, width) = (y.len(), columns.len());
    let finite = |values: &[f64]| values.iter().all(|value| value.is_finite());
    if rows < width || width == 0 || !finite(y) || columns.iter().any(|column| column.len() != rows || !finite(column))
    {
        return None;
    }
    let mut matrix: Vec<Vec<f64>> = columns.iter().map(|column| column.to_vec()).collect();
    let mut right = y.to_vec();
    let mut diagonal = vec![0.0; width];
    for index in 0..width {
        let whole = length(columns[index]);
        let (head, tail) = matrix.split_at_mut(index + 1);
        let column = head.last_mut()?;
        let below = length(&column[index..]);
        if !(below > DEPENDENT * whole) {
            return None;
        }
        let pivot = if column[index] > 0.0 { -below } else { below };
        diagonal[index] = pivot;
        column[index] -= pivot;
        let direction = &column[index..];
        let squares = dot(direction, direction);
        for other in tail.iter_mut().chain(std::iter::once(&mut right)) {
            let other = &mut other[index..];
            let factor = 2.0 * dot(direction, other) / squares;
            for (value, along) in other.iter_mut().zip(direction) {
                *value -= factor * along;
            }
        }
    }
    let mut coefficients = vec![0.0; width];
    for index in (0..width).rev() {
        let known: f64 = (index + 1..width).map(|other| matrix[other][index] * coefficients[other]).sum();
        coefficients[index] = (right[index] - known) / diagonal[index];
    }
    Some(Fit { coefficients, residual_squares: dot(&right[width..], &right[width..]) })
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn length(values: &[f64]) -> f64 {
    dot(values, values).sqrt()
}

#[cfg(test)]
mod tests {
    use super::least_squares;

    #[test]
    fn dependent_columns_have_no_fit() {
        let (ones, x, twice) = ([1.0; 4], [1.0, 2.0, 3.0, 4.0], [2.0, 4.0, 6.0, 8.0]);
        assert_eq!(least_squares(&[&ones, &x, &twice], &[1.0, 2.0, 2.0, 3.0]), None);
        assert_eq!(least_squares(&[&ones, &x], &[1.0, 2.0]), None, "lengths differ");
        assert_eq!(least_squares(&[&ones], &[1.0, f64::NAN, 1.0, 1.0]), None);
        assert_eq!(least_squares(&[], &[1.0]), None);
    }
}
