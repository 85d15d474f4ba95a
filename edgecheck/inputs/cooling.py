"""Cooling sections: the keys of the unit file's [cooling] table, a record for each kind.

Data-sheet conventions that change the answer by more than a safety margin have no default: which liquid
temperature a rating table is on, the liquid flow, whether the rating is net of the pump, and the rating
point.
"""

from typing import Literal

from edgecheck.inputs.quantities import (
    Celsius,
    Count,
    Flag,
    NotNegative,
    Number,
    PartShare,
    Positive,
    Record,
    Share,
    Text,
    default,
    key,
)

Row = tuple[Number, ...]


class CoolingCommon(Record):
    """Keys of every kind of cooling section.

    Of several identical sections every key describes one; liquid flow, pump and heater are the unit's.
    """

    liquid_flow_kg_s: Positive = key(
        "liquid flow of the unit, which sections in service share, kg/s; without it arriving and leaving "
        "liquid temperature, several kelvin apart, cannot be told from each other"
    )
    airflow_m3_s: Positive = key("air through the cooling section at full fan speed, m3/s")
    fouling: PartShare = default(
        0.10,
        "engineering default: coils on roofs are cleaned once or twice a year",
        "share of the air side's heat transfer lost between cleanings",
    )
    inlet_air_max_c: Celsius = key("highest inlet air temperature that the maker allows, degC")
    inlet_air_min_c: Celsius = key("lowest outdoor air temperature that the maker allows, degC")
    standby_kw: NotNegative = key("controls and crankcase heater, kW; 0 where there is nothing")
    restart_delay_min: NotNegative = key("minutes from the return of power to cooling")
    pump_kw: NotNegative = key("electrical power of the circulation pumps, kW")
    pump_heat_to_liquid: Share = default(
        1.0, "engineering default: all of it, the safe side", "share of pump power that ends in the liquid"
    )
    heater_kw: NotNegative | None = default(None, "", "heater for a start in winter, kW")
    sound_power_fan_dba: Number | None = default(
        None, "", "sound power level of one section's fans at full speed, dB(A)"
    )
    tonal_db: NotNegative | None = default(
        None, "", "supplement for a tone in the unit's sound, dB; 0 where the maker states that there is none"
    )
    sections: Count = default(1, "", "how many identical cooling sections the unit has")
    section_duty: Literal["shared", "standby"] = default(
        "shared",
        "engineering default: all sections run together",
        "whether several sections share the heat or one stands by",
    )


class TableFit(Record):
    """How a rating table was made from single points; written by `edgecheck unit --fit`."""

    points_file: Text = key("file of the points")
    points_sha256: Text = key("checksum of that file")
    points: Count = key("number of points")
    capacity_rms_share: NotNegative = key("difference of capacity from the points, root mean square, share")
    capacity_worst_share: NotNegative = key("greatest difference of capacity from a point, share")
    power_rms_share: NotNegative = key("difference of power from the points, root mean square, share")
    power_worst_share: NotNegative = key("greatest difference of power from a point, share")


class RatingTable(CoolingCommon):
    """Keys of kinds with a rating table and a compressor."""

    liquid_basis: Literal["leaving", "arriving"] = key(
        "which liquid temperature the rating table is on; the two are several kelvin apart, which is "
        "worth more "
        "than the usual margin, so it has no default (data sheets usually rate by leaving liquid)"
    )
    capacity_basis: Literal["gross", "net-of-pump"] = key(
        "whether the rating already has the pump's heat taken off; otherwise that heat would count "
        "twice or not "
        "at all, so it has no default"
    )
    rating_point: tuple[Celsius, Celsius] = key(
        "liquid and inlet air temperature of rated_heat_rejection_kw, degC; without it the "
        "condensing temperature "
        "cannot be worked out"
    )
    rated_heat_rejection_kw: Positive = key("heat to the air at the rating point, kW")
    liquid_c: tuple[Celsius, ...] = key("liquid temperatures of the table's rows, degC", min_length=2)
    inlet_air_c: tuple[Celsius, ...] = key(
        "inlet air temperatures of the table's columns, degC", min_length=2
    )
    capacity_kw: tuple[Row, ...] = key("cooling capacity, a row a liquid temperature, kW")
    power_kw: tuple[Row, ...] = key("compressor and condenser fan at full capacity, kW")
    fit: TableFit | None = default(None, "", "how the table was made, where it was fitted to single points")
    condenser_fan_kw: NotNegative = key("condenser fan, part of power_kw, kW")
    condenser_split_k: Positive = key(
        "condensing temperature minus inlet air temperature at the rating point, K"
    )
    condensing_max_c: Celsius = key("condensing temperature at which the pressure switch opens, degC")
    condensing_margin_k: NotNegative = default(
        3.0, "engineering default: tolerance of switch and control", "distance kept from condensing_max_c, K"
    )
    high_pressure_reset: Literal["automatic", "manual", "unknown"] = default(
        "unknown",
        "engineering default: an unknown reset counts as manual, so each trip costs a site visit",
        "whether the pressure switch closes again by itself",
    )
    evaporator_approach_k: NotNegative | None = default(
        None, "", "leaving liquid minus evaporating temperature, K"
    )
    part_load: Literal["on-off", "variable-speed"] = key("how the compressor follows the load")
    part_load_offset: Share = default(
        0.10,
        "engineering default: a variable-speed machine draws this share of full power at no load",
        "share a of P = P_full (a + (1 - a) load share)",
    )
    capacity_min_share: Share = default(
        1.0,
        "a machine that is switched on and off has one stage",
        "least share of full capacity that the machine can run at",
        gt=0,
    )
    fan_control: Literal["variable", "cycling"] = default(
        "cycling",
        "engineering default: the fan's power follows the running time, not its cube",
        "how the condenser fan follows the load",
    )
    control_band_k: Positive = default(
        4.0,
        "engineering default: a common setting of on-off control",
        "liquid temperature band of the control, K",
    )
    minimum_run_s: NotNegative = default(
        180.0,
        "engineering default: compressors want two to five minutes",
        "shortest run of the compressor, s",
    )
    starts_max_per_h: Positive = default(
        8.0, "engineering default: compressors allow six to twelve", "most starts of the compressor an hour"
    )
    sound_power_compressor_dba: Number | None = default(
        None, "", "sound power level of one section's compressor, dB(A)"
    )


class Chiller(RatingTable):
    """A compression chiller with air-cooled condenser."""

    kind: Literal["chiller"]


class ChillerWithEconomiser(RatingTable):
    """A chiller with an outdoor-air coil before it in the liquid."""

    kind: Literal["chiller-with-economiser"]
    coil_air: Literal["separate", "before-condenser"] = key(
        "whether the coil has air of its own or stands before the condenser, whose air it then warms"
    )
    coil_conductance_kw_k: Positive = key("heat transfer (UA) of the coil at rated flows, clean, kW/K")
    coil_airflow_m3_s: Positive = key("air through the coil at full fan speed, m3/s")
    coil_fan_kw: NotNegative = key("fan of the coil at full speed, kW; 0 where the condenser fan serves both")
    coil_air_side_share: Share = key("share of the coil's thermal resistance on the air side")
    coil_air_exponent: Share = default(
        0.60, "common practice for finned coils", "the air side's UA grows with (air mass flow)^n"
    )
    coil_rating_air_density_kg_m3: Positive = default(
        1.20, "standard air", "air density of the coil's rating, kg/m3"
    )
    coil_air_min_c: Celsius | None = default(
        None, "", "lowest outdoor air temperature for the coil, degC; the chiller's own limit if left out"
    )
    changeover_k: NotNegative = default(
        5.0,
        "engineering default: below it the fan costs more than the coil saves",
        "liquid minus inlet air temperature from which the coil is in use, K",
    )


class DryCooler(CoolingCommon):
    """A coil in outdoor air, without a compressor."""

    kind: Literal["dry-cooler"]
    conductance_kw_k: Positive = key("heat transfer (UA) at rated flows, clean, kW/K")
    air_side_share: Share = key(
        "share of the thermal resistance on the air side (about 0.4 with oil in the tubes)"
    )
    air_exponent: Share = default(
        0.60, "common practice for finned coils", "the air side's UA grows with (air mass flow)^n"
    )
    rating_air_density_kg_m3: Positive = default(1.20, "standard air", "air density of the rating, kg/m3")
    fan_kw: NotNegative = key("fans at full speed, kW")
    fan_control: Literal["variable", "cycling"] = key("how the fans follow the load")
    coil_bypass: Flag = key("whether the liquid can go past the coil when it would be cooled too far")
    still_air_share: Share = default(
        0.05,
        "engineering default: what a coil passes in still air",
        "share of full heat transfer with the fans off, where there is no bypass",
    )


Cooling = Chiller | ChillerWithEconomiser | DryCooler

KINDS: dict[str, type[Chiller] | type[ChillerWithEconomiser] | type[DryCooler]] = {
    "chiller": Chiller,
    "dry-cooler": DryCooler,
    "chiller-with-economiser": ChillerWithEconomiser,
}
