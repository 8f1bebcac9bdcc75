"""The undercarriage as machine: loads, tipping, braking, turning, steps, soft ground, water."""

from wringout.undercarriage.clearance import (
    Clearance,
    nose_down_to_touch,
    propeller_clearances,
    tail_down_to_touch,
)
from wringout.undercarriage.direction import (
    skid_or_tip,
    swing_growth,
    taxi_side_wind,
    wheel_margin,
    yaw_inertia,
)
from wringout.undercarriage.ground_report import UndercarriageReport, undercarriage_report
from wringout.undercarriage.handling import (
    braking_limit,
    castor_to_pivot,
    climbable_step,
    climbed_steps,
    step_pull,
    thrust_to_nose_over,
    turn_radius,
)
from wringout.undercarriage.leg import WheelPath, motion_ratio, spring_load, wheel_path
from wringout.undercarriage.measured import spread_of
from wringout.undercarriage.rules import Rule, float_rule, undercarriage_rules
from wringout.undercarriage.soft_ground import (
    BEARABLE,
    SOILS,
    Rolling,
    Soil,
    bearing_ratio,
    contact_area,
    rolling_in,
    ski_sinkage,
    tyre_area,
)
from wringout.undercarriage.static import (
    WheelLoads,
    dynamic_nose_load,
    overturn_angle,
    static_loads,
    third_wheel_ahead,
    tip_angle,
    wheelbase,
)
from wringout.undercarriage.turning import SweptCircle, door_width, extremes, swept_circle
from wringout.undercarriage.water import (
    HUMP_SD,
    WaterResistance,
    WaterRun,
    reserve_buoyancy,
    run_speeds,
    water_run,
)

__all__ = [
    "BEARABLE",
    "HUMP_SD",
    "SOILS",
    "Clearance",
    "Rolling",
    "Rule",
    "Soil",
    "SweptCircle",
    "UndercarriageReport",
    "WaterResistance",
    "WaterRun",
    "WheelLoads",
    "WheelPath",
    "bearing_ratio",
    "braking_limit",
    "castor_to_pivot",
    "climbable_step",
    "climbed_steps",
    "contact_area",
    "door_width",
    "dynamic_nose_load",
    "extremes",
    "float_rule",
    "motion_ratio",
    "nose_down_to_touch",
    "overturn_angle",
    "propeller_clearances",
    "reserve_buoyancy",
    "rolling_in",
    "run_speeds",
    "ski_sinkage",
    "skid_or_tip",
    "spread_of",
    "spring_load",
    "static_loads",
    "step_pull",
    "swept_circle",
    "swing_growth",
    "tail_down_to_touch",
    "taxi_side_wind",
    "third_wheel_ahead",
    "thrust_to_nose_over",
    "tip_angle",
    "turn_radius",
    "tyre_area",
    "undercarriage_report",
    "undercarriage_rules",
    "water_run",
    "wheel_margin",
    "wheel_path",
    "wheelbase",
    "yaw_inertia",
]
