//! Random draws from a seed, the same on every machine: for fleets, records and layouts that developer commands invent.

/// A stream of draws (splitmix64, Steele, Lea and Flood, OOPSLA 2014; constants from memory).
#[derive(Debug, Clone)]
pub struct Dice {
    state: u64,
}

impl Dice {
    /// A stream of its own for each pair of seed and purpose.
    #[must_use]
    pub fn new(seed: u64, purpose: u64) -> Self {
        let mut dice = Self { state: seed ^ purpose.wrapping_mul(0xd134_2543_de82_ef95) };
        dice.next();
        dice
    }

    fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.state ^ (self.state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// From 0 up to, not including, 1.
    pub fn part(&mut self) -> f64 {
        f64::from(u32::try_from(self.next() >> 32).unwrap_or(0)) / f64::from(u32::MAX).next_up()
    }

    /// `true` in this part of the draws.
    pub fn chance(&mut self, part: f64) -> bool {
        self.part() < part
    }

    /// Both ends included.
    pub fn between(&mut self, low: u32, high: u32) -> u32 {
        let span = u64::from(high - low) + 1;
        low + u32::try_from(self.next() % span).unwrap_or(0)
    }

    /// One of the choices, which must not be none.
    pub fn pick<T: Clone>(&mut self, choices: &[T]) -> T {
        let last = u32::try_from(choices.len()).unwrap_or(1).saturating_sub(1);
        choices[self.between(0, last) as usize].clone()
    }

    /// Puts a list in another order.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for last in (1..list.len()).rev() {
            let other = self.between(0, u32::try_from(last).unwrap_or(0)) as usize;
            list.swap(last, other);
        }
    }
}
