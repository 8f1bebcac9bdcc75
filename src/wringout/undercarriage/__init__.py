"""The undercarriage as machine: what stands on which wheel, tipping, braking, turning, steps."""

from wringout.undercarriage.ground_report import Rule, UndercarriageReport, undercarriage_report
from wringout.undercarriage.handling import (
    braking_limit,
    castor_to_pivot,
    climbable_step,
    step_pull,
    turn_radius,
)
from wringout.undercarriage.static import (
    WheelLoads,
    dynamic_nose_load,
    overturn_angle,
    static_loads,
    tip_angle,
    wheelbase,
)

__all__ = [
    "Rule",
    "UndercarriageReport",
    "WheelLoads",
    "braking_limit",
    "castor_to_pivot",
    "climbable_step",
    "dynamic_nose_load",
    "overturn_angle",
    "static_loads",
    "step_pull",
    "tip_angle",
    "turn_radius",
    "undercarriage_report",
    "wheelbase",
]
