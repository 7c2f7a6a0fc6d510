//! The words of the log: kinds of place, amounts of light, treatments, ways of moving on, causes of loss.

use crate::word_set;

word_set!(
    /// What kind of climate a place has.
    PlaceKind, "kind of place", {
        /// Warms the compost from below, not the air.
        Propagator = "propagator",
        /// A warm dark cupboard.
        AiringCupboard = "airing cupboard",
        /// Cold on purpose, for chilling seed.
        Fridge = "fridge",
        /// Indoors under lamps.
        LitShelf = "lit shelf",
        /// Indoors, light from one side.
        Windowsill = "windowsill",
        /// Indoors, away from the window.
        Room = "room",
        /// Glass that one can stand in.
        Greenhouse = "greenhouse",
        /// Polythene that one can stand in.
        Tunnel = "tunnel",
        /// A low box with a sloping glass lid.
        ColdFrame = "cold frame",
        /// A movable cover over plants in the ground.
        Cloche = "cloche",
        /// Sheltered ground out of doors where pots stand.
        StandingGround = "standing ground",
        /// Open ground: the final place.
        Plot = "plot",
    }
);

impl PlaceKind {
    /// True where the air is that of a house.
    #[must_use]
    pub const fn is_indoors(self) -> bool {
        matches!(
            self,
            Self::Propagator | Self::AiringCupboard | Self::Fridge | Self::LitShelf | Self::Windowsill | Self::Room
        )
    }

    /// True where shoots are off the heat only once they leave: warmth without enough light draws them.
    #[must_use]
    pub const fn draws_shoots(self) -> bool {
        matches!(self, Self::Propagator | Self::AiringCupboard)
    }
}

word_set!(
    /// How much light a place gives.
    Light, "amount of light", {
        /// A dark corner.
        Low = "low",
        /// Light from one side.
        Fair = "fair",
        /// Light from above, all day.
        Full = "full",
    }
);

word_set!(
    /// What was done to the seed before it was sown.
    Treatment, "seed treatment", {
        /// Nothing.
        None = "none",
        /// Soaked in water.
        Soaked = "soaked",
        /// Kept cold and damp.
        Chilled = "chilled",
        /// Scratched or nicked.
        Scarified = "scarified",
        /// Treated with smoke or smoke water.
        Smoked = "smoked",
    }
);

word_set!(
    /// How plants came from one container into another.
    Transfer, "way of moving plants on", {
        /// Out of a shared tray or off damp paper into a first cell or pot of their own.
        PrickedOut = "pricked out",
        /// Into a larger cell or pot.
        PottedOn = "potted on",
        /// In the same pots, parted from the rest of the set.
        Parted = "parted",
    }
);

word_set!(
    /// What plants died of.
    Cause, "cause of loss", {
        /// Not known.
        Unknown = "unknown",
        /// Rot at the soil line, spreading.
        DampingOff = "damping off",
        /// Slugs or snails.
        Slugs = "slugs",
        /// Mice.
        Mice = "mice",
        /// Frost or chill.
        Cold = "cold",
        /// Heat or sun scald.
        Heat = "heat",
        /// Dried out.
        Drought = "drought",
        /// Stood too wet.
        Waterlogged = "waterlogged",
        /// Wind.
        Wind = "wind",
        /// Insects.
        Insects = "insects",
        /// Broken in handling, dropped or knocked over.
        Handling = "handling",
        /// Anything else; the remark says what.
        Other = "other",
    }
);
