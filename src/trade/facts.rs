//! The closed list of facts a crop may have, with the unit and the range of each.

use std::fmt;

/// A fact about a crop. The name in tables and settings is [`Fact::name`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fact {
    /// Least germination the law allows in seed for sale, per cent; of clusters for beetroot and chard.
    LegalGermination,
    /// Years seed keeps in favourable storage.
    LongevityYears,
    /// Days to the first and to the final count of the official laboratory test, in good warmth.
    LaboratoryDays,
    /// Soil temperature under which seed does not come up, C.
    GermMinC,
    /// Soil temperatures at which it comes up well, C.
    GermOptC,
    /// Soil temperature above which it does not come up, C.
    GermMaxC,
    /// Days to the ninth tenth of what emerges, over days to the first tenth.
    EmergenceSpread,
    /// Days to emergence in a tray of compost, over the days the published table gives.
    TrayFactor,
    /// Depth of sowing, mm.
    DepthMm,
    /// Whether seed wants light: `needs`, `either` or `dark`.
    Light,
    /// How plants are raised: `shared_tray`, `own_cell` or `in_place`.
    Raising,
    /// True leaves at which a shared tray is pricked out.
    PrickOutLeaves,
    /// Days from emergence to pricking out.
    PrickOutDays,
    /// Width of the cell or pot pricked out into, mm.
    PrickOutContainerMm,
    /// Days from emergence to potting on, for crops that stay in pots that long.
    PotOnDays,
    /// Width of the pot potted on into, mm.
    PotOnContainerMm,
    /// Volume of cell the crop is usually raised in, ml.
    CellVolumeMl,
    /// Whether the stem may go `deeper`, stays at the `same` depth, or must `never` be covered.
    Bury,
    /// How it stands being moved: `easy`, `moderate` or `difficult`.
    Transplanting,
    /// Weeks from sowing to planting out.
    WeeksToPlantOut,
    /// Weeks from the last frost to planting out; negative before it.
    PlantOutFromLastFrostWeeks,
    /// Months of planting out in a cool northern climate, for crops the last frost does not govern.
    PlantOutMonth,
    /// Least soil temperature for planting out, C.
    PlantOutSoilC,
    /// Whether it is planted in the `open` or `under_cover` in a cool climate.
    PlantOutPlace,
    /// Height at planting out, mm.
    PlantOutHeightMm,
    /// `tender`, `half_hardy`, `hardy` or `very_hardy`.
    Hardiness,
    /// Published floor for a seedling not yet hardened, C.
    SeedlingFloorC,
    /// Published temperature that damages a hardened plant, C: a death point, not a working limit.
    HardenedFloorC,
    /// Working night limit, C: the high end for a plant straight from warmth, the low end once hardened.
    WorkingFloorC,
    /// Temperature under which growth checks, C.
    GrowthCheckC,
}

/// What the value of a fact may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Kind {
    /// A number, or a range of numbers, between these two.
    Number(f64, f64),
    /// One of these words.
    Word(&'static [&'static str]),
}

impl Fact {
    /// Every fact.
    pub const ALL: [Self; 30] = [
        Self::LegalGermination,
        Self::LongevityYears,
        Self::LaboratoryDays,
        Self::GermMinC,
        Self::GermOptC,
        Self::GermMaxC,
        Self::EmergenceSpread,
        Self::TrayFactor,
        Self::DepthMm,
        Self::Light,
        Self::Raising,
        Self::PrickOutLeaves,
        Self::PrickOutDays,
        Self::PrickOutContainerMm,
        Self::PotOnDays,
        Self::PotOnContainerMm,
        Self::CellVolumeMl,
        Self::Bury,
        Self::Transplanting,
        Self::WeeksToPlantOut,
        Self::PlantOutFromLastFrostWeeks,
        Self::PlantOutMonth,
        Self::PlantOutSoilC,
        Self::PlantOutPlace,
        Self::PlantOutHeightMm,
        Self::Hardiness,
        Self::SeedlingFloorC,
        Self::HardenedFloorC,
        Self::WorkingFloorC,
        Self::GrowthCheckC,
    ];

    /// Its name in the tables and in a grower's settings.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.described().0
    }

    /// The fact of this name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|fact| fact.name() == name)
    }

    pub(super) fn kind(self) -> Kind {
        self.described().1
    }

    fn described(self) -> (&'static str, Kind) {
        use Kind::{Number, Word};
        match self {
            Self::LegalGermination => ("legal_germination", Number(1.0, 100.0)),
            Self::LongevityYears => ("longevity_years", Number(0.5, 20.0)),
            Self::LaboratoryDays => ("laboratory_days", Number(1.0, 120.0)),
            Self::GermMinC => ("germ_min_c", Number(-2.0, 30.0)),
            Self::GermOptC => ("germ_opt_c", Number(0.0, 45.0)),
            Self::GermMaxC => ("germ_max_c", Number(10.0, 50.0)),
            Self::EmergenceSpread => ("emergence_spread", Number(1.05, 10.0)),
            Self::TrayFactor => ("tray_factor", Number(0.2, 5.0)),
            Self::DepthMm => ("depth_mm", Number(0.0, 150.0)),
            Self::Light => ("light", Word(LightNeed::WORDS)),
            Self::Raising => ("raising", Word(Raising::WORDS)),
            Self::PrickOutLeaves => ("prick_out_leaves", Number(0.0, 10.0)),
            Self::PrickOutDays => ("prick_out_days", Number(1.0, 200.0)),
            Self::PrickOutContainerMm => ("prick_out_container_mm", Number(10.0, 300.0)),
            Self::PotOnDays => ("pot_on_days", Number(1.0, 400.0)),
            Self::PotOnContainerMm => ("pot_on_container_mm", Number(20.0, 500.0)),
            Self::CellVolumeMl => ("cell_volume_ml", Number(1.0, 5000.0)),
            Self::Bury => ("bury", Word(Bury::WORDS)),
            Self::Transplanting => ("transplanting", Word(Transplanting::WORDS)),
            Self::WeeksToPlantOut => ("weeks_to_plant_out", Number(1.0, 60.0)),
            Self::PlantOutFromLastFrostWeeks => ("plant_out_from_last_frost_weeks", Number(-20.0, 20.0)),
            Self::PlantOutMonth => ("plant_out_month", Number(1.0, 12.0)),
            Self::PlantOutSoilC => ("plant_out_soil_c", Number(0.0, 35.0)),
            Self::PlantOutPlace => ("plant_out_place", Word(PlantOutPlace::WORDS)),
            Self::PlantOutHeightMm => ("plant_out_height_mm", Number(10.0, 2000.0)),
            Self::Hardiness => ("hardiness", Word(Hardiness::WORDS)),
            Self::SeedlingFloorC => ("seedling_floor_c", Number(-20.0, 20.0)),
            Self::HardenedFloorC => ("hardened_floor_c", Number(-30.0, 20.0)),
            Self::WorkingFloorC => ("working_floor_c", Number(-20.0, 20.0)),
            Self::GrowthCheckC => ("growth_check_c", Number(-5.0, 25.0)),
        }
    }
}

impl fmt::Display for Fact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$variant_doc:meta])* $variant:ident = $word:literal),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name {
            $($(#[$variant_doc])* $variant),+
        }

        impl $name {
            pub(super) const WORDS: &'static [&'static str] = &[$($word),+];

            pub(super) fn from_word(word: &str) -> Option<Self> {
                match word {
                    $($word => Some(Self::$variant),)+
                    _ => None,
                }
            }
        }
    };
}

words!(
    /// Whether seed wants light to come up.
    LightNeed {
        /// Pressed in and not covered, or barely.
        Needs = "needs",
        /// Covered lightly either way.
        Either = "either",
        /// Covered.
        Dark = "dark",
    }
);

words!(
    /// How young plants of a crop are raised.
    Raising {
        /// Sown together in a tray, then pricked out.
        SharedTray = "shared_tray",
        /// Sown in the cell or pot it stays in until potted on or planted out.
        OwnCell = "own_cell",
        /// Sown where it is to grow.
        InPlace = "in_place",
    }
);

words!(
    /// How deep the stem may go when a plant is moved.
    Bury {
        /// Deeper than before does good.
        Deeper = "deeper",
        /// At the depth it grew.
        Same = "same",
        /// Stem or crown must stay clear of the soil.
        Never = "never",
    }
);

words!(
    /// How a plant stands being moved.
    Transplanting {
        /// Takes up water and roots again fast.
        Easy = "easy",
        /// Needs care.
        Moderate = "moderate",
        /// Keep the ball whole; sow in the last pot.
        Difficult = "difficult",
    }
);

words!(
    /// Where a crop is planted in a cool climate.
    PlantOutPlace {
        /// In the open ground.
        Open = "open",
        /// Under glass or film.
        UnderCover = "under_cover",
    }
);

words!(
    /// What cold a crop belongs to, from the tenderest.
    Hardiness {
        /// Killed by any frost and checked by cold nights.
        Tender = "tender",
        /// Stands cool nights and, hardened, a touch of frost.
        HalfHardy = "half_hardy",
        /// Stands frost once hardened.
        Hardy = "hardy",
        /// Stands the winter.
        VeryHardy = "very_hardy",
    }
);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_fact_is_listed_once_and_found_by_its_name() {
        for (at, fact) in Fact::ALL.into_iter().enumerate() {
            assert_eq!(Fact::named(fact.name()), Some(fact));
            assert_eq!(fact as usize, at, "{fact} is out of order");
        }
        assert_eq!(Fact::GrowthCheckC as usize + 1, Fact::ALL.len());
        assert_eq!(Fact::named("growth"), None);
    }
}
