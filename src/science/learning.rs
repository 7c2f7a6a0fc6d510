//! Learning from the grower's own record: a book figure drawn toward it, the more the longer the record.

/// How a figure that is above 0 differs, in its logarithm, before any record is seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Doubt {
    /// How far the book may be off for this grower, as a standard deviation of the logarithm; 0.25 is about a quarter.
    pub of_book: f64,
    /// How much one batch differs from the next, as a standard deviation of the logarithm.
    pub between_batches: f64,
}

/// What book and record together say of the next batch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Learnt {
    /// The figure to expect, in the unit of the book's.
    pub value: f64,
    /// How far the next batch may be off it, as a standard deviation of the logarithm.
    pub doubt: f64,
    /// How much of the figure still comes from the book: 1 without a record, toward 0 with a long one.
    pub from_book: f64,
}

/// One own figure and what it is worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Own {
    /// The figure, in the unit of the book's; above 0.
    pub figure: f64,
    /// The share of the batches' own variance in all of the figure's: 1 when it was measured without error, toward 0 with
    /// a poor look at it.
    pub worth: f64,
}

/// Draws a `book` figure toward the grower's `own`, as logarithms: the mean weighs the book as heavily as
/// `(between_batches / of_book)^2` own batches that were measured without error. Figures and worths that are not above 0 are
/// passed over; doubts are brought into 0.001 to 10, a worth over 1 to 1.
///
/// Source: the conjugate normal model with known variances, Gelman et al. 2013, Bayesian Data Analysis, section 2.5.
#[must_use]
pub fn learn(book: f64, own: &[Own], doubt: Doubt) -> Learnt {
    let between = usable(doubt.between_batches);
    let book_weight = (between / usable(doubt.of_book)).powi(2);
    let usable = |own: &&Own| own.figure > 0.0 && own.figure.is_finite() && own.worth > 0.0;
    let own = || own.iter().filter(usable).map(|own| (own.worth.min(1.0), own.figure.ln()));
    let weight = book_weight + own().map(|(worth, _)| worth).sum::<f64>();
    let sum = own().map(|(worth, log)| worth * log).sum::<f64>();
    Learnt {
        value: ((book_weight * book.ln() + sum) / weight).exp(),
        doubt: between * (1.0 + 1.0 / weight).sqrt(),
        from_book: book_weight / weight,
    }
}

/// What the own sowings of one kind say of all: how they ran against the book.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kin {
    /// Own figure over the book's, as the geometric mean of the batches; above 0.
    pub over_book: f64,
    /// How many batches; 1 or more.
    pub batches: usize,
    /// What they are worth together, see [`Own`]: at most as many as they are.
    pub worth: f64,
}

/// What is common to the kinds a grower raises, learnt from some of them for another.
///
/// `common` is how far all may be off the book together, `of_kind` how far one kind is off beside that, `between_batches`
/// how one batch differs from the next, all as standard deviations of the logarithm and brought into 0.001 to 10. The
/// answer's doubt is of the common factor alone; its value is 1 without any kin.
///
/// Source: the hierarchical normal model with known variances, Gelman et al. 2013, Bayesian Data Analysis, section 5.4.
#[must_use]
pub fn common(kin: impl Iterator<Item = Kin>, common: f64, of_kind: f64, between_batches: f64) -> Learnt {
    let own = usable(common).powi(-2);
    let (mut precision, mut sum) = (own, 0.0);
    for kin in kin.filter(|kin| kin.over_book > 0.0 && kin.over_book.is_finite() && kin.worth > 0.0) {
        let weight = 1.0 / (usable(of_kind).powi(2) + usable(between_batches).powi(2) / kin.worth);
        precision += weight;
        sum += weight * kin.over_book.ln();
    }
    Learnt { value: (sum / precision).exp(), doubt: precision.powf(-0.5), from_book: own / precision }
}

fn usable(doubt: f64) -> f64 {
    if doubt > 1e-3 { doubt.min(10.0) } else { 1e-3 }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DOUBT: Doubt = Doubt { of_book: 0.3, between_batches: 0.15 };

    #[test]
    fn without_a_record_the_book_stands() {
        let learnt = learn(120.0, &[], DOUBT);
        assert!((learnt.value - 120.0).abs() < 1e-10);
        assert_eq!(learnt.from_book, 1.0);
        assert!((learnt.doubt - (0.3f64.powi(2) + 0.15f64.powi(2)).sqrt()).abs() < 1e-12);
    }

    /// Source: precisions add, 1/0.3^2 for the book and 1/0.15^2 for each batch (Gelman et al. 2013, 2.11 and 2.12).
    #[test]
    fn precisions_add() {
        let (book, batch) = (1.0 / 0.09, 1.0 / 0.0225);
        let learnt = learn(100.0, &[Own { figure: 150.0, worth: 1.0 }; 3], DOUBT);
        let expected = (book * 100f64.ln() + 3.0 * batch * 150f64.ln()) / (book + 3.0 * batch);
        assert!((learnt.value.ln() - expected).abs() < 1e-12);
        assert!((learnt.doubt.powi(2) - (0.0225 + 1.0 / (book + 3.0 * batch))).abs() < 1e-12);
        assert!((learnt.from_book - book / (book + 3.0 * batch)).abs() < 1e-12);
        // A figure whose own error is as large as what batches differ by has twice the variance, and half the weight.
        let poor = learn(100.0, &[Own { figure: 150.0, worth: 0.5 }], DOUBT);
        let expected = (book * 100f64.ln() + 0.5 * batch * 150f64.ln()) / (book + 0.5 * batch);
        assert!((poor.value.ln() - expected).abs() < 1e-12);
    }

    #[test]
    fn nonsense_in_the_record_is_passed_over() {
        let figures = [0.0, -3.0, f64::NAN, f64::INFINITY].map(|figure| Own { figure, worth: 1.0 });
        assert_eq!(learn(100.0, &figures, DOUBT), learn(100.0, &[], DOUBT));
        let worths = [0.0, -3.0, f64::NAN].map(|worth| Own { figure: 150.0, worth });
        assert_eq!(learn(100.0, &worths, DOUBT), learn(100.0, &[], DOUBT));
    }

    /// Source: Gelman et al. 2013, 5.17 and 5.20, worked by hand: two kinds of four batches and of one, each with the
    /// variance of its kind and of its mean.
    #[test]
    fn kin_speak_for_one_another_by_their_precisions() {
        let kin = [Kin { over_book: 1.3, batches: 4, worth: 4.0 }, Kin { over_book: 1.1, batches: 1, worth: 1.0 }];
        let learnt = common(kin.into_iter(), 0.2, 0.1, 0.2);
        let (own, four, one) = (25.0, 1.0 / (0.01 + 0.01), 1.0 / (0.01 + 0.04));
        let mean = (four * 1.3f64.ln() + one * 1.1f64.ln()) / (own + four + one);
        assert!((learnt.value.ln() - mean).abs() < 1e-12);
        assert!((learnt.doubt - 1.0 / (own + four + one).sqrt()).abs() < 1e-12);
        assert!((learnt.from_book - own / (own + four + one)).abs() < 1e-12);
        let none = common([Kin { over_book: f64::NAN, batches: 3, worth: 3.0 }].into_iter(), 0.2, 0.1, 0.2);
        assert_eq!((none.value, none.from_book), (1.0, 1.0));
        assert!((none.doubt - 0.2).abs() < 1e-12);
    }
}
