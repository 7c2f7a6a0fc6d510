//! The words for what stands still: places, benches, carriers, packets, thermometers, forecasts and covers.

use std::path::PathBuf;

use clap::{ArgAction, Args, Subcommand};

use crate::journal::{Light, Measured, PlaceKind, SeedOrigin};
use crate::quantity::{
    Celsius, CropName, Date, DateOrder, Looking, Millimetres, Name, Scale, Share, parse_date, parse_share,
    parse_temperature,
};

use super::command::Import;
use super::error::GrammarError;
use super::refs::{BenchRef, ContainerWords, SpotRef, carrier_name};
use super::request::{LotWords, Request, Roof};
use super::space::PlaceArgs;
use super::values::{self, Degrees, Headroom};

#[derive(Debug, Subcommand)]
pub(super) enum SiteVerb {
    /// Name a place; or stand a part exactly, turn it, pin it
    #[command(
        override_usage = "thumbpot place add NAME .. | place PART [X,Y] [--at PLACE/BENCH] [--turned|--straight] [--pin|--loose] [--as-drawn] | place PART --anywhere"
    )]
    Place(PlaceArgs),
    /// Measure a bench, or measure it again
    #[command(subcommand, arg_required_else_help = false, disable_help_subcommand = true)]
    Bench(BenchVerb),
    /// Set down a tray that carries pots
    #[command(subcommand, arg_required_else_help = false, disable_help_subcommand = true)]
    Carrier(CarrierVerb),
    /// Note a packet of seed
    #[command(subcommand, arg_required_else_help = false, disable_help_subcommand = true)]
    Lot(LotVerb),
    /// Note temperatures read in a place
    #[command(
        override_usage = "thumbpot reading PLACE [--min C] [--max C] [--now C] [--compost C] [--soil C]\n       thumbpot reading import FILE.csv [--place PLACE] [--unit C|F] [--sure] [--dates D/M|M/D]"
    )]
    Reading(ReadingArgs),
    /// Note a forecast of outside air
    #[command(subcommand, arg_required_else_help = false, disable_help_subcommand = true)]
    Forecast(ForecastVerb),
    /// Cover or uncover a place for the night
    #[command(override_usage = "thumbpot cover PLACE on|off")]
    Cover {
        /// The place
        #[arg(value_name = "PLACE", value_parser = values::place)]
        place: Name,
        /// Covered or not
        #[arg(value_name = "on|off", value_parser = values::on_or_off, action = ArgAction::Set)]
        covered: bool,
    },
}

#[derive(Debug, Subcommand)]
pub(super) enum PlaceVerb {
    /// Name a place: its kind says what climate to expect
    #[command(override_usage = "thumbpot place add NAME --kind KIND [--heated-to 20C] [--light low|fair|full]")]
    Add {
        /// Begins with a letter, so that it is never taken for a batch
        #[arg(value_name = "NAME", value_parser = values::place)]
        name: Name,
        /// propagator, airing cupboard, fridge, lit shelf, windowsill, room, greenhouse, tunnel, cold frame, cloche,
        /// standing ground or plot
        #[arg(long, value_name = "KIND", value_parser = values::place_kind)]
        kind: PlaceKind,
        /// What its heater keeps it at
        #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true, value_parser = parse_temperature)]
        heated_to: Option<Celsius>,
        /// low, fair or full
        #[arg(long, value_name = "LIGHT")]
        light: Option<Light>,
    },
}

#[derive(Debug, Subcommand)]
pub(super) enum BenchVerb {
    /// Measure a bench: length along the back x width
    #[command(
        override_usage = "thumbpot bench add PLACE/NAME --size 1200x500mm [--headroom 300mm|400..250mm] [--sure]"
    )]
    Add(BenchArgs),
    /// Measure a bench again; its headroom stays as it was unless it is given
    #[command(
        override_usage = "thumbpot bench resize PLACE/NAME --size 1200x500mm [--headroom 300mm|400..250mm|none] [--sure]"
    )]
    Resize(BenchArgs),
}

#[derive(Debug, Args)]
pub(super) struct BenchArgs {
    /// The place and the bench's name in it
    #[arg(value_name = "PLACE/NAME")]
    bench: BenchRef,
    /// Length x width
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true, value_parser = values::ground)]
    size: (Millimetres, Millimetres),
    /// Height above it; under a slope, at the back .. at the front; none
    #[arg(long, value_name = "HEIGHT", allow_hyphen_values = true, value_parser = values::headroom)]
    headroom: Option<Headroom>,
    /// It is so, though it may look like a slip
    #[arg(long)]
    sure: bool,
}

#[derive(Debug, Subcommand)]
pub(super) enum CarrierVerb {
    /// Take an empty carrier off its bench
    #[command(override_usage = "thumbpot carrier clear NAME")]
    Clear {
        /// Its name
        #[arg(value_name = "NAME", value_parser = carrier_name)]
        name: Name,
    },
    /// Set down a tray that carries pots: it moves as one
    #[command(override_usage = "thumbpot carrier add NAME --in CONTAINER --at PLACE/BENCH")]
    Add {
        /// Begins with a letter
        #[arg(value_name = "NAME", value_parser = carrier_name)]
        name: Name,
        /// The kind of tray
        #[arg(long = "in", value_name = "CONTAINER")]
        container: ContainerWords,
        /// Where it stands
        #[arg(long, value_name = "PLACE/BENCH")]
        at: SpotRef,
    },
}

#[derive(Debug, Subcommand)]
pub(super) enum LotVerb {
    /// Note a packet of seed, or seed saved at home
    #[command(
        override_usage = "thumbpot lot add CROP VARIETY [--packed 2025] [--stated 85%] [--seeds 250] [--home-saved]"
    )]
    Add {
        /// The crop
        #[arg(value_name = "CROP", value_parser = values::crop)]
        crop: CropName,
        /// The variety
        #[arg(value_name = "VARIETY", value_parser = values::name)]
        variety: Name,
        /// Year packed or saved
        #[arg(long, value_name = "YEAR", allow_negative_numbers = true, value_parser = values::year)]
        packed: Option<i32>,
        /// Germination stated on the packet
        #[arg(long, value_name = "SHARE", value_parser = parse_share)]
        stated: Option<Share>,
        /// Seeds in it
        #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = values::some)]
        seeds: Option<u32>,
        /// Saved at home
        #[arg(long)]
        home_saved: bool,
    },
}

#[derive(Debug, Args)]
pub(super) struct ReadingArgs {
    /// The place, or import
    #[arg(value_name = "PLACE", value_parser = values::place)]
    place: Name,
    /// After import: a thermometer's CSV, whatever its columns are called
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,
    /// After import: where they were read; a column that names places of yours, or several, goes before it
    #[arg(long = "place", value_name = "PLACE", value_parser = values::place)]
    of: Option<Name>,
    /// Lowest air since the thermometer was last set
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true, value_parser = values::low)]
    min: Option<Degrees>,
    /// Highest air since the thermometer was last set
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true, value_parser = values::high)]
    max: Option<Degrees>,
    /// Air now
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true, value_parser = values::high)]
    now: Option<Degrees>,
    /// Compost
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true, value_parser = values::high)]
    compost: Option<Degrees>,
    /// Ground
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true, value_parser = values::low)]
    soil: Option<Degrees>,
    #[command(flatten)]
    told: FileArgs,
}

/// What a file does not say of itself.
#[derive(Clone, Copy, Debug, Args)]
pub(super) struct FileArgs {
    /// After import: C or F, where the file does not say
    #[arg(long, value_name = "UNIT", value_parser = values::scale)]
    unit: Option<Scale>,
    /// After import: it was so warm in degrees C, unlikely as it looks
    #[arg(long, conflicts_with = "unit")]
    sure: bool,
    /// After import: D/M or M/D, which comes first in days such as 3/4/2026
    #[arg(long = "dates", value_name = "ORDER", value_parser = values::date_order)]
    order: Option<DateOrder>,
}

impl FileArgs {
    fn unit(self) -> Option<Scale> {
        self.unit.or(self.sure.then_some(Scale::Celsius))
    }
}

#[derive(Debug, Subcommand)]
pub(super) enum ForecastVerb {
    /// Note one day's forecast: the low of the night before, and the high
    #[command(override_usage = "thumbpot forecast set DATE --low C --high C")]
    Set {
        /// Looks ahead: fri is the next Friday
        #[arg(value_name = "DATE")]
        day: String,
        /// Lowest
        #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true, value_parser = values::low)]
        low: Degrees,
        /// Highest
        #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true, value_parser = values::high)]
        high: Degrees,
    },
    /// Take a forecast from a CSV or JSON file
    #[command(override_usage = "thumbpot forecast import FILE [--unit C|F] [--sure] [--dates D/M|M/D]")]
    Import {
        /// Days with lows and highs, whatever they are called
        #[arg(value_name = "FILE")]
        file: PathBuf,
        #[command(flatten)]
        told: FileArgs,
    },
    /// Ask the weather service of settings.toml for one
    #[command(override_usage = "thumbpot forecast fetch")]
    Fetch,
}

impl SiteVerb {
    /// What is to be taken from elsewhere, when that is what was asked.
    pub(super) fn import(&self) -> Result<Option<Import>, GrammarError> {
        match self {
            Self::Forecast(ForecastVerb::Import { file, told }) => {
                Ok(Some(Import::Forecast { file: file.clone(), unit: told.unit(), order: told.order }))
            }
            Self::Forecast(ForecastVerb::Fetch) => Ok(Some(Import::Fetch)),
            Self::Reading(reading) => reading.import(),
            _ => Ok(None),
        }
    }

    pub(super) fn into_request(self, today: Date) -> Result<Request, GrammarError> {
        Ok(match self {
            Self::Place(words) => words.into_request()?,
            Self::Bench(BenchVerb::Add(BenchArgs { bench, size, headroom, sure })) => {
                Request::AddBench { bench, size: values::bench_size(size, headroom) }.if_sure(sure)
            }
            Self::Bench(BenchVerb::Resize(BenchArgs { bench, size, headroom, sure })) => {
                let roof = if headroom.is_some() { Roof::AsSaid } else { Roof::AsItWas };
                Request::ResizeBench { bench, size: values::bench_size(size, headroom), roof }.if_sure(sure)
            }
            Self::Carrier(CarrierVerb::Clear { name }) => Request::PutAway { called: name },
            Self::Carrier(CarrierVerb::Add { name, container, at }) => {
                Request::SetCarrier { called: name, container, at }
            }
            Self::Lot(LotVerb::Add { crop, variety, packed, stated, seeds, home_saved }) => {
                let origin = if home_saved { SeedOrigin::HomeSaved } else { SeedOrigin::Packet };
                Request::AddLot(LotWords { crop, variety, packed, stated, seeds, origin })
            }
            Self::Reading(reading) => reading.into_request()?,
            Self::Forecast(ForecastVerb::Set { day, low, high }) => {
                let day =
                    parse_date(&day, today, Looking::Ahead).map_err(|error| GrammarError::refused("DATE", error))?;
                let unit = values::unit_of([low, high])?;
                let (low, high) = (low.celsius, high.celsius);
                if low > high {
                    let why = format!("{high} is below the low of {low}; give the low first, then the high");
                    return Err(GrammarError::refused("--high", why));
                }
                Request::Forecast { day, low, high, unit }
            }
            Self::Forecast(ForecastVerb::Import { .. } | ForecastVerb::Fetch) => {
                return Err(GrammarError::usage(
                    "a forecast is imported or fetched by itself",
                    "usage: thumbpot forecast import FILE [--unit C|F], or thumbpot forecast fetch",
                ));
            }
            Self::Cover { place, covered } => Request::Cover { place, on: covered },
        })
    }
}

impl ReadingArgs {
    fn import(&self) -> Result<Option<Import>, GrammarError> {
        const USAGE: &str =
            "usage: thumbpot reading import FILE.csv [--place PLACE] [--unit C|F] [--sure] [--dates D/M|M/D]";
        let read = [self.min, self.max, self.now, self.compost, self.soil].iter().any(Option::is_some);
        match &self.file {
            Some(file) if self.place.same_as("import") && !read => {
                let (place, unit) = (self.of.clone(), self.told.unit());
                Ok(Some(Import::Readings { file: file.clone(), place, unit, order: self.told.order }))
            }
            Some(file) => {
                let file = file.to_string_lossy();
                Err(GrammarError::usage(format!("'{file}' was not expected here"), USAGE))
            }
            None if self.of.is_some()
                || self.told.unit().is_some()
                || self.told.order.is_some()
                || (self.place.same_as("import") && !read) =>
            {
                Err(GrammarError::usage("import needs a file", USAGE))
            }
            None => Ok(None),
        }
    }

    fn into_request(self) -> Result<Request, GrammarError> {
        let measured: Vec<Measured> = [
            self.min.map(|typed| Measured::Minimum(typed.celsius)),
            self.max.map(|typed| Measured::Maximum(typed.celsius)),
            self.now.map(|typed| Measured::Now(typed.celsius)),
            self.compost.map(|typed| Measured::Compost(typed.celsius)),
            self.soil.map(|typed| Measured::Soil(typed.celsius)),
        ]
        .into_iter()
        .flatten()
        .collect();
        if measured.is_empty() {
            return Err(GrammarError::usage(
                "reading needs a temperature",
                "say what was read: --min, --max, --now, --compost or --soil",
            ));
        }
        let (min, max) = (self.min.map(|typed| typed.celsius), self.max.map(|typed| typed.celsius));
        if let (Some(min), Some(max)) = (min, max)
            && min > max
        {
            let why = format!("{max} is below the lowest, {min}; look which is which");
            return Err(GrammarError::refused("--max", why));
        }
        let unit = values::unit_of([self.min, self.max, self.now, self.compost, self.soil].into_iter().flatten())?;
        Ok(Request::Read { place: self.place, measured, unit })
    }
}
