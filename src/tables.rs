//! What the program takes from the world outside: timber sizes and strengths,
//! friction, soils, the density of air. Each value carries its unit and source, or says "assumed".
//! Never hides a guess.

use crate::units::{INCH_M, PSI_PA};
use std::fmt;

/// A dressed softwood section.
///
/// Sizes: PS 20, American Softwood Lumber Standard, dressed dry sizes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Timber {
    pub nominal: &'static str,
    /// Across the grain, lying, m.
    pub width_m: f64,
    /// Across the grain, upright, m.
    pub height_m: f64,
}

impl Timber {
    /// Middle of the outer timbers of a crib's layer from the middle of the crib, m: their own
    /// width in from the ends of the layer below, never closer than side by side (common
    /// practice, no source).
    pub fn outer_m(self, members: usize, length_m: f64) -> f64 {
        let side_by_side = self.width_m * (members as f64 - 1.0) / 2.0;
        (length_m / 2.0 - 1.5 * self.width_m).max(side_by_side)
    }

    /// Half width over the outer timbers of a crib's layer, m: what bears across them.
    pub fn bearing_half_m(self, members: usize, length_m: f64) -> f64 {
        self.outer_m(members, length_m) + self.width_m / 2.0
    }
}

impl Timber {
    /// Usual ceiling of a crib of it, m: 48 in, and 6 ft of 6x6 (common practice, no source).
    pub fn crib_ceiling_m(self) -> f64 {
        let thick = self.width_m.min(self.height_m) > 5.0 * INCH_M;
        INCH_M * if thick { 72.0 } else { 48.0 }
    }
}

/// Height of a crib to the width over its outer timbers, with all corners loaded: shoring guides
/// of urban search and rescue (seen in secondary copies; common practice).
pub const CRIB_SLENDER: f64 = 3.0;

/// Sections a scene can name. "2x4" and "2x6" lie flat; "4x6" stands on edge.
pub const TIMBERS: &[Timber] = &[
    Timber { nominal: "2x4", width_m: 3.5 * INCH_M, height_m: 1.5 * INCH_M },
    Timber { nominal: "2x6", width_m: 5.5 * INCH_M, height_m: 1.5 * INCH_M },
    Timber { nominal: "4x4", width_m: 3.5 * INCH_M, height_m: 3.5 * INCH_M },
    Timber { nominal: "4x6", width_m: 3.5 * INCH_M, height_m: 5.5 * INCH_M },
    Timber { nominal: "6x6", width_m: 5.5 * INCH_M, height_m: 5.5 * INCH_M },
];

/// Reference design values of a grade of lumber, before adjustment for load duration,
/// Pa. Design values are what a structure is kept to, not what wood fails at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grade {
    pub name: &'static str,
    /// Bending, with the size factor of the section.
    pub bending_pa: f64,
    /// Shear along the grain.
    pub shear_pa: f64,
    /// Bearing across the grain.
    pub bearing_pa: f64,
    /// Modulus of elasticity.
    pub elastic_pa: f64,
    pub source: &'static str,
}

/// Least bearing value across the grain among the usual softwoods: spruce-pine-fir,
/// 425 psi, NDS Supplement table 4A (from memory, not verified). What a crib of unknown
/// species is good for.
pub const WEAKEST_BEARING_PA: f64 = 425.0 * PSI_PA;
/// A crib's rating counts this on every crossing: 500 psi. It gives the 24,000 lb of two
/// 4x4 timbers a layer and the 55,000 lb of three in California State Fire Training,
/// Rescue Systems 1 (2000), chapter 30.
pub const CRIB_RATING_PA: f64 = 500.0 * PSI_PA;

impl Timber {
    /// Douglas-fir-larch No. 2. Bending times the size factor C_F of table 4A: 1.5 for a
    /// nominal depth of 4 in and less, 1.3 for 6 in; flat pieces by their width.
    /// Six by six counts as posts and timbers, table 4D, without a size factor.
    pub fn grade(&self) -> Grade {
        let inches = |m: f64| m / INCH_M;
        let depth = inches(self.width_m.max(self.height_m));
        let (name, bending, shear, elastic, source) =
            if inches(self.width_m) > 5.0 && inches(self.height_m) > 5.0 {
                (
                    "Douglas-fir-larch No. 2, posts and timbers",
                    750.0,
                    170.0,
                    1.3e6,
                    "AWC NDS Supplement table 4D (from memory, not verified)",
                )
            } else {
                let size = if depth < 4.0 { 1.5 } else { 1.3 };
                (
                    "Douglas-fir-larch No. 2",
                    900.0 * size,
                    180.0,
                    1.6e6,
                    "AWC NDS Supplement table 4A, C_F (bearing and C_F from memory, not verified)",
                )
            };
        Grade {
            name,
            bending_pa: bending * PSI_PA,
            shear_pa: shear * PSI_PA,
            bearing_pa: 625.0 * PSI_PA,
            elastic_pa: elastic * PSI_PA,
            source,
        }
    }
}

/// Mean strength of small clear pieces of coast Douglas-fir at 12 % moisture, Pa, with
/// the coefficient of variation. Wood Handbook FPL-GTR-190 (2010), tables 5-3a and 5-6
/// (seen in secondary copies). Timber with knots is weaker.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClearWood {
    pub mean_pa: f64,
    pub variation: f64,
}

/// Modulus of rupture.
pub const CLEAR_RUPTURE: ClearWood = ClearWood { mean_pa: 85e6, variation: 0.16 };
/// Shear along the grain.
pub const CLEAR_SHEAR: ClearWood = ClearWood { mean_pa: 7.8e6, variation: 0.14 };
/// Bearing across the grain, at the proportional limit: wood has no clear ultimate there.
pub const CLEAR_BEARING: ClearWood = ClearWood { mean_pa: 5.5e6, variation: 0.28 };

/// Wood by species and state: mean strengths of small clear pieces, Pa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wood {
    pub name: &'static str,
    /// Modulus of rupture.
    pub rupture_pa: f64,
    /// Shear along the grain.
    pub shear_pa: f64,
    /// Bearing across the grain, at the proportional limit: there it begins to crush.
    pub bearing_pa: f64,
    /// Modulus of elasticity along the grain.
    pub elastic_pa: f64,
    pub source: &'static str,
}

const HANDBOOK: &str = "Wood Handbook FPL-GTR-190 (2010) table 5-3a (seen in secondary copies)";
const HANDBOOK_RECALLED: &str =
    "Wood Handbook FPL-GTR-190 (2010) table 5-3a (in part from memory, not verified)";

/// The woods that a scene can name. Coast Douglas-fir and Engelmann spruce, at 12 %
/// moisture and green; soaked timber is as weak as green.
pub const WOODS: &[Wood] = &[
    Wood {
        name: "douglas fir",
        rupture_pa: CLEAR_RUPTURE.mean_pa,
        shear_pa: CLEAR_SHEAR.mean_pa,
        bearing_pa: CLEAR_BEARING.mean_pa,
        elastic_pa: 13.4e9,
        source: HANDBOOK,
    },
    Wood {
        name: "green douglas fir",
        rupture_pa: 53e6,
        shear_pa: 6.2e6,
        bearing_pa: 2.6e6,
        elastic_pa: 10.8e9,
        source: HANDBOOK,
    },
    Wood {
        name: "spruce",
        rupture_pa: 64e6,
        shear_pa: 8.3e6,
        bearing_pa: 2.8e6,
        elastic_pa: 8.9e9,
        source: HANDBOOK_RECALLED,
    },
    Wood {
        name: "green spruce",
        rupture_pa: 32e6,
        shear_pa: 4.4e6,
        bearing_pa: 1.4e6,
        elastic_pa: 7.1e9,
        source: HANDBOOK_RECALLED,
    },
];

impl Wood {
    /// Coefficient of variation of the modulus of rupture.
    pub fn rupture_variation(&self) -> f64 {
        CLEAR_RUPTURE.variation
    }

    /// Stiffness across the grain, Pa: 0.050 of that along it, which is 1.10 times the
    /// table's (Wood Handbook table 5-1 and the footnote of 5-3a, Douglas-fir).
    pub fn across_pa(&self) -> f64 {
        0.050 * 1.10 * self.elastic_pa
    }
}

/// What knots and slope of grain leave of clear wood's bending strength in a timber of
/// grade No. 2 (strength ratio of ASTM D245; from memory, not verified).
pub const GRADE_SHARE: f64 = 0.45;
/// A timber cracks, loudly, at this share of the load that breaks it (assumed).
pub const CRACK_SHARE: f64 = 0.80;
/// Design values may be raised by this for a load of ten minutes (NDS load duration
/// factor; from memory, not verified).
pub const SHORT_LOAD: f64 = 1.6;

/// What the ground bears.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundBearing {
    pub name: &'static str,
    /// Presumptive bearing value, Pa, or none where the surface is not the limit.
    pub bearing_pa: Option<f64>,
    /// The weakest ground that may hide under such a surface, Pa.
    pub weakest_pa: Option<f64>,
    pub source: &'static str,
}

const IBC: &str = "IBC table 1806.2 (2012), building footings: long-term, small settlement";

/// No strip that bears on soil is narrower than this, m: the simulation's single precision.
pub const STRIP_LEAST_M: f64 = 1e-4;

/// Soil that gives way under a base: elastic up to what it bears at most, then it keeps
/// its set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bed {
    pub name: &'static str,
    /// Pressure at which it gives way, Pa.
    pub plateau_pa: f64,
    pub source: &'static str,
}

impl Bed {
    /// Pressure per settlement under a strip `width_m` wide, Pa/m. The plateau is reached
    /// at a settlement of a tenth of the width, as plate loading tests define failure, an
    /// inch at most (both conventions from memory, not verified).
    pub fn subgrade_pa_m(&self, width_m: f64) -> f64 {
        self.plateau_pa / (0.1 * width_m.max(STRIP_LEAST_M)).min(INCH_M)
    }
}

/// What a design value for bearing is short of failure: presumptive values are kept to
/// about a third of what the soil bears at most (customary safety factor of 3, assumed).
pub const BEARING_SAFETY: f64 = 3.0;
/// A long strip on clay fails at this many times its undrained strength (Prandtl, 2 + pi).
const PRANDTL: f64 = 2.0 + std::f64::consts::PI;

const PRESUMPTIVE: &str =
    "three times the presumptive value of IBC table 1806.2 (2012); the factor is assumed";
const UNDRAINED: &str = "2 + pi times an undrained strength; the strength is assumed: the IBC \
                         gives mud and unprepared fill no value at all";

/// The soils that a scene can name beside "hard".
pub const BEDS: &[Bed] = &[
    Bed { name: "gravel", plateau_pa: BEARING_SAFETY * 143.6e3, source: PRESUMPTIVE },
    Bed { name: "sand", plateau_pa: BEARING_SAFETY * 95.8e3, source: PRESUMPTIVE },
    Bed { name: "clay", plateau_pa: BEARING_SAFETY * 71.8e3, source: PRESUMPTIVE },
    // The upper end of very soft clay, 12 kPa, and half of it.
    Bed { name: "soft", plateau_pa: PRANDTL * 12e3, source: UNDRAINED },
    Bed { name: "mud", plateau_pa: PRANDTL * 6e3, source: UNDRAINED },
];

/// Soil that gives way is firm again at this depth, m (assumed).
pub const FIRM_M: f64 = 0.30;

/// What stands on soil has failed once a corner of it has gone down this far, and the vehicle once
/// an edge of it has gone so much further than it lay, m: it has lost a fair part of an inch of
/// lift, and it has passed the inch at which soil gives way: it does not come back.
pub const SINK_LIMIT_M: f64 = 0.030;

/// What one steel stake driven a metre into undisturbed loam holds across it: 700 lb, the single
/// picket of NAVEDTRA 14251, chapter 6; half of it in wet or sandy ground (from
/// memory, not verified).
pub const STAKE_N: f64 = 700.0 * 4.448_222;
pub const STAKE_WEAK_SHARE: f64 = 0.5;

/// A stake drags through the ground under its load for this far before it is out, m (assumed).
pub const STAKE_OUT_M: f64 = 0.15;

/// What the stake of a chock holds along the ground, N; none in pavement, where it depends on
/// pins and anchors that nothing is known of.
pub fn stake_holds_n(surface: Surface, soil: Option<Bed>, wet: bool) -> Option<f64> {
    surface.soil().bearing_pa.or(soil.map(|bed| bed.plateau_pa))?;
    let weak = wet || soil.is_some_and(|bed| WEAK_FOR_STAKES.contains(&bed.name));
    Some(STAKE_N * if weak { STAKE_WEAK_SHARE } else { 1.0 })
}
/// Soils that hold a stake no better than wet or sandy ground (the last two assumed).
const WEAK_FOR_STAKES: [&str; 3] = ["sand", "soft", "mud"];

/// A board spreads a load this many times its thickness beyond the timbers on it: a 45 mm
/// softwood board is stiff over about `(E t^3 / 3 k)^(1/4)` = 0.36 m of a soil with
/// k = 20 MN/m3 (beam on an elastic bed), half of it on either side (assumed).
pub const BOARD_SPREAD: f64 = 4.0;

/// Density of Douglas-fir at 12 % moisture, kg/m³: 0.48 x 1.12 x 1000, specific
/// gravity from Wood Handbook FPL-GTR-190 table 5-3a; coefficient of variation 10 %.
pub const TIMBER_KG_M3: f64 = 538.0;

/// Density of steel, kg/m³ (EN 1991-1-1, table A.4: 77 to 78.5 kN/m³).
pub const STEEL_KG_M3: f64 = 7850.0;

/// Mass of one face of a lifting bag per area, kg/m²: reinforced rubber of about
/// 10 mm (assumed).
pub const BAG_FACE_KG_M2: f64 = 12.0;

/// Thickness of one face of a lifting bag, m (assumed).
pub const BAG_FACE_M: f64 = 0.012;
/// Shear stiffness of an inflated bag is this share of `F / h` (assumed 0.5).
pub const BAG_SHEAR_SHARE: f64 = 0.5;
/// A bag lower than this shears no more stiffly, m (assumed).
pub const BAG_SHEAR_LEAST_M: f64 = 0.02;

/// What of a trapped limb's own mass rests on it, kg (assumed).
pub const LIMB_KG: f64 = 3.0;
/// A limb is pressed to no less than this share of its thickness; bone carries then
/// (assumed).
pub const LIMB_LEAST_SHARE: f64 = 0.25;

/// Room left over a wedge or a shim that is pushed in by hand, m (assumed).
pub const SNUG_M: f64 = 0.001;
/// Void fill is driven until it bears: its wedges are this much thicker than the room that
/// they are driven into, m (assumed).
pub const DRIVEN_M: f64 = 0.0005;
/// Thickness of one wedge of a pair of shims, m: a 2x4 on its flat side (common practice, no
/// source).
pub const SHIM_PAIR_M: f64 = 0.0381;
/// How far in from the body's side a beam's shims bear, and their length along the beam, m
/// (assumed).
pub const SHIM_IN_M: f64 = 0.07;
pub const SHIM_LENGTH_M: f64 = 0.10;

/// The least friction of rubber that is to be reckoned with, on timber or painted metal: nothing
/// was found for these pairs, so half of a rubber mat's 0.6 (EN 12195-1:2010 annex B, from
/// memory, not verified) is assumed, and 75 % of it once it moves (CTU Code).
pub const RUBBER_LEAST: f64 = 0.75 * 0.30;

/// Past this share of its height limit a bag has climbed for nothing, where it bears nothing
/// yet: a square one has a quarter of its force left there, `(1 - 1/2)^2` (geometry; that a
/// half is too much is assumed).
pub const FREE_STROKE_SHARE: f64 = 0.5;

/// How deep a roof is at its edges with its rails, m (assumed).
pub const ROOF_DEPTH_M: f64 = 0.05;

/// What a corner of a roof bears at least, as a multiple of the vehicle's weight: 49 CFR 571.216
/// (1973) asked for 1.5 times the unladen weight on one front corner within 127 mm (571.216a
/// of 2009 for 3 times it up to 2722 kg; both from memory, not verified). The rear is assumed
/// as strong. A roof that the overturn has pressed in bears less.
pub const ROOF_WEIGHTS: f64 = 1.5;
/// Where a vehicle says nothing of its springs, it would bob on them as often as this, Hz:
/// passenger cars are sprung to 1.0 to 1.5 Hz (textbooks of vehicle dynamics; from memory, not
/// verified). A wheel of a small car then has about 17 N/mm, as quarter-car models have: 16 to
/// 25 N/mm (from memory, not verified).
pub const RIDE_HZ: f64 = 1.3;
/// A wheel with its hub and its share of the axle, as a share of the vehicle's mass: 30 to 45 kg
/// of a car (quarter-car models; from memory, not verified).
pub const UNSPRUNG_SHARE: f64 = 0.03;
/// The body can go down so far on its springs before it sits on their stops, m (assumed).
pub const BUMP_M: f64 = 0.08;

/// A post ends this much under the roof's outer face, m (assumed).
pub const POST_END_M: f64 = 0.010;

/// What a part's outside is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Material {
    Timber,
    /// The vehicle's outside: painted sheet metal.
    Sheet,
    Rubber,
    /// The ground under everything.
    Ground(Surface),
}

impl Material {
    const COUNT: usize = 4;

    /// Its row in tables by material.
    pub fn index(self) -> usize {
        match self {
            Self::Timber => 0,
            Self::Sheet => 1,
            Self::Rubber => 2,
            Self::Ground(_) => 3,
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surface {
    Asphalt,
    Concrete,
    Gravel,
    Grass,
}

impl Surface {
    pub const WORDS: &[(&str, Self)] = &[
        ("asphalt", Self::Asphalt),
        ("concrete", Self::Concrete),
        ("gravel", Self::Gravel),
        ("grass", Self::Grass),
    ];
}

impl Surface {
    /// What lies under it, as far as its name tells. Which class a mown field belongs to
    /// is assumed; soft, wet or filled ground has no presumptive value at all, half the
    /// value of clay stands in for it (assumed).
    pub fn soil(self) -> GroundBearing {
        let soil = |name, bearing_pa, weakest_pa| GroundBearing {
            name,
            bearing_pa,
            weakest_pa,
            source: IBC,
        };
        match self {
            Self::Asphalt => soil("asphalt", None, None),
            Self::Concrete => soil("concrete", None, None),
            Self::Gravel => soil("gravel, sandy gravel", Some(143.6e3), Some(95.8e3)),
            Self::Grass => soil("clay or silt under grass", Some(71.8e3), Some(35.9e3)),
        }
    }
}

impl fmt::Display for Surface {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(Self::WORDS.iter().find(|(_, s)| s == self).map_or("", |(w, _)| w))
    }
}

/// Static friction of a pair, dry and wet, with where it comes from.
#[derive(Clone, Copy, Debug)]
pub struct FrictionPair {
    pub a: Material,
    pub b: Material,
    pub dry: f64,
    pub wet: f64,
    pub source: &'static str,
}

const CTU: &str = "CTU Code (IMO/ILO/UNECE 2014), annex 7 appendix 2";
const EU: &str = "European Best Practice Guidelines on Cargo Securing for Road Transport, 8.2";
const ASSUMED: &str = "assumed";
/// The source of a pair that was measured where the scene is played.
pub(crate) const MEASURED: &str = "measured in the yard";

impl FrictionPair {
    /// Static friction on a wet or dry surface, and what it may fall to: once something
    /// moves, the CTU Code counts 75 % of the static value; where the pair itself is
    /// assumed, 70 %.
    pub fn friction(&self, wet: bool) -> [f64; 2] {
        let mu = if wet { self.wet } else { self.dry };
        [mu, mu * if self.source == ASSUMED { 0.70 } else { 0.75 }]
    }

    /// The slope at which one begins to slide on the other on a wet or dry surface, rad.
    pub fn slides_from_rad(&self, wet: bool) -> f64 {
        self.friction(wet)[0].atan()
    }
}

/// The row of the pair table for two materials, in either order.
pub fn friction_pair(surface: Surface, a: Material, b: Material) -> Option<FrictionPair> {
    friction_pairs(surface).into_iter().find(|p| (p.a, p.b) == (a, b) || (p.b, p.a) == (a, b))
}

/// The pair table. Every pair of materials that can touch in a scene is here. The source
/// is that of the dry value; wet values are assumed but for timber on timber and on
/// concrete, which the CTU Code gives as when dry or nearly so.
pub fn friction_pairs(surface: Surface) -> [FrictionPair; 9] {
    use Material::{Ground, Rubber, Sheet, Timber};
    let ground = Ground(surface);
    let pair = |a, b, dry, wet, source| FrictionPair { a, b, dry, wet, source };
    // Nothing was found for most of what lies on a ground; concrete under sawn timber
    // is in the CTU Code. The assumed values follow their neighbours in the tables.
    let (timber, sheet, rubber, timber_source) = match surface {
        Surface::Concrete => ([0.70, 0.70], [0.45, 0.40], [0.75, 0.70], CTU),
        Surface::Asphalt => ([0.60, 0.55], [0.45, 0.35], [0.70, 0.55], ASSUMED),
        Surface::Gravel => ([0.55, 0.50], [0.42, 0.35], [0.65, 0.50], ASSUMED),
        Surface::Grass => ([0.50, 0.30], [0.38, 0.20], [0.60, 0.33], ASSUMED),
    };
    [
        pair(Timber, Timber, 0.50, 0.45, EU),
        pair(Timber, Sheet, 0.40, 0.33, EU),
        pair(Timber, Rubber, 0.60, 0.50, CTU),
        pair(Sheet, Sheet, 0.30, 0.22, CTU),
        pair(Sheet, Rubber, 0.45, 0.35, ASSUMED),
        pair(Rubber, Rubber, 0.70, 0.55, ASSUMED),
        pair(Timber, ground, timber[0], timber[1], timber_source),
        pair(Sheet, ground, sheet[0], sheet[1], ASSUMED),
        pair(Rubber, ground, rubber[0], rubber[1], ASSUMED),
    ]
}

/// What is left of each pair's static friction once it slides, by the rows of its materials
/// ([`Material::index`]).
pub fn sliding_shares(pairs: &[FrictionPair]) -> [[f64; Material::COUNT]; Material::COUNT] {
    let mut shares = [[1.0; Material::COUNT]; Material::COUNT];
    for pair in pairs {
        let [rests, slides] = pair.friction(false);
        let (a, b) = (pair.a.index(), pair.b.index());
        shares[a][b] = slides / rests;
        shares[b][a] = slides / rests;
    }
    shares
}

/// One figure a material, such that the geometric mean of two figures is the
/// pair's friction as nearly as can be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grip {
    pub timber: f64,
    pub sheet: f64,
    pub rubber: f64,
    pub ground: f64,
    /// Largest relative error of the fit over the pair table.
    pub worst_error: f64,
}

impl Grip {
    /// Fits the pair table of a surface: the least squares of `ln g_a + ln g_b - 2 ln mu`,
    /// by coordinate descent (each step solves one figure exactly; the problem is convex).
    pub fn fit(surface: Surface, wet: bool) -> Self {
        Self::of(&friction_pairs(surface), wet)
    }

    /// ... or the pairs of a table with measured values in it.
    pub fn of(pairs: &[FrictionPair], wet: bool) -> Self {
        // A published value weighs four times an assumed one, a measured one sixty times.
        let weight = |source: &str| match source {
            ASSUMED => 1.0,
            MEASURED => 60.0,
            _ => 4.0,
        };
        let rows: Vec<(usize, usize, f64, f64)> = pairs
            .iter()
            .map(|p| (p.a.index(), p.b.index(), if wet { p.wet } else { p.dry }, weight(p.source)))
            .collect();
        let mut log_grip = [0.5_f64.ln(); 4];
        for _ in 0..200 {
            for i in 0..4 {
                // d/dx of sum (c x + other - 2 ln mu)^2 = 0, with c = 2 for a like pair.
                let (mut top, mut bottom) = (0.0, 0.0);
                for &(a, b, mu, weight) in &rows {
                    let count = f64::from(u8::from(a == i)) + f64::from(u8::from(b == i));
                    if count > 0.0 {
                        let other = if count == 2.0 {
                            0.0
                        } else if a == i {
                            log_grip[b]
                        } else {
                            log_grip[a]
                        };
                        top += weight * count * (2.0 * mu.ln() - other);
                        bottom += weight * count * count;
                    }
                }
                log_grip[i] = top / bottom;
            }
        }
        let grip = log_grip.map(f64::exp);
        let worst_error = rows
            .iter()
            .map(|&(a, b, mu, _)| ((grip[a] * grip[b]).sqrt() / mu - 1.0).abs())
            .fold(0.0, f64::max);
        Self { timber: grip[0], sheet: grip[1], rubber: grip[2], ground: grip[3], worst_error }
    }

    pub fn share_of(&self, material: Material) -> f64 {
        match material {
            Material::Timber => self.timber,
            Material::Sheet => self.sheet,
            Material::Rubber => self.rubber,
            Material::Ground(_) => self.ground,
        }
    }
}

/// Compressibility factor of air at 20 degC against absolute pressure in bar, from
/// the Lemmon et al. (2000) equation of state; ideal below 100 bar to within 1.5 %.
const AIR_Z: &[(f64, f64)] =
    &[(0.0, 1.0), (100.0, 0.988), (150.0, 1.001), (200.0, 1.026), (250.0, 1.061), (300.0, 1.104)];

/// Compressibility factor of air at 20 degC and an absolute pressure, by straight
/// lines between the table's rows; the last slope goes on beyond it.
pub fn air_compressibility(absolute_pa: f64) -> f64 {
    let bar = absolute_pa / 1e5;
    let upper = AIR_Z.iter().position(|&(p, _)| p >= bar).unwrap_or(AIR_Z.len() - 1).max(1);
    let ((p0, z0), (p1, z1)) = (AIR_Z[upper - 1], AIR_Z[upper]);
    z0 + (z1 - z0) * (bar - p0) / (p1 - p0)
}

/// Reference density of air for ISO 6358 conductances, kg/m³ (ISO 8778: 293.15 K,
/// 100 kPa, 65 % humidity).
pub const AIR_REFERENCE_KG_M3: f64 = 1.185;
/// Specific gas constant of dry air times 293.15 K, J/kg.
pub const AIR_RT_J_KG: f64 = 287.05 * 293.15;
/// Critical pressure ratio `b` of a real valve (from memory, not verified: 0.2 to 0.5).
pub const VALVE_B: f64 = 0.35;
/// Sonic conductance of one leg behind a Y, m³/(s Pa): 3.6 L/(s bar), a hose of 5 m and 8 mm
/// bore (both assumed) by `C = 0.029 d^2 / sqrt(L / d^1.25 + 510)` in SI (pneumatic tubing;
/// formula from memory, not verified).
pub const Y_LEG_CONDUCTANCE: f64 = 3.6e-8;

#[cfg(test)]
mod tests {
    use super::*;

    /// A geometric mean of one figure a material cannot hold a pair table exactly. This is
    /// how far it is off at worst, dry and wet. Concrete is worst: it holds timber so well
    /// that the fit makes it hold sheet metal too well.
    #[test]
    fn the_friction_fit_keeps_within_its_published_error() {
        for (surface, dry, wet) in [
            (Surface::Asphalt, 0.03, 0.06),
            (Surface::Concrete, 0.14, 0.18),
            (Surface::Gravel, 0.03, 0.06),
            (Surface::Grass, 0.03, 0.06),
        ] {
            for (is_wet, published) in [(false, dry), (true, wet)] {
                let worst = Grip::fit(surface, is_wet).worst_error;
                assert!(worst <= published, "{surface}, wet {is_wet}: off by {worst:.3}");
            }
        }
    }
}
