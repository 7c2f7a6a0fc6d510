//! The dice that simulated springs are thrown with.

/// `SplitMix64` (Steele, Lea and Flood 2014), enough for a simulation.
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    /// Uniform from 0 to 1.
    pub(crate) fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Normal, by Box and Muller 1958.
    pub(crate) fn normal(&mut self, mean: f64, sd: f64) -> f64 {
        let radius = (-2.0 * (1.0 - self.share()).ln()).sqrt();
        mean + sd * radius * (std::f64::consts::TAU * self.share()).cos()
    }
}
