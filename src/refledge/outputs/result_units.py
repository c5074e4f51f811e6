"""SI units of the results' fields, as their comments in ``model/`` say; "1" for a plain number.

The brief's fields carry theirs in metadata; results do not, so they stand here, held complete by
a test.
"""

from typing import Final

_BY_UNIT: Final[dict[str, str]] = {
    "kg": "Study.all_up_mass LayoutOption.assumed_mass "
    "Study.frame_mass PartSpec.mass MassLine.each ClosureStep.all_up_mass "
    "ClosureStep.frame_mass ClosureStep.change Driver.saved Alternative.frame_mass "
    "Alternative.arm_mass Fastener.mass SeatDesign.standoff_mass",
    "m": "Layout.motor_radius Layout.positions Layout.tip_gap Layout.footprint "
    "ArmDesign.length ArmDesign.width ArmDesign.depth_root ArmDesign.depth_tip "
    "ArmDesign.root_length ArmDesign.tenon_length ArmDesign.side ArmDesign.top ArmDesign.bottom "
    "ArmDesign.pitch ArmDesign.web ArmDesign.bore ArmDesign.split ArmDesign.lap "
    "ClampDesign.root_radius ClampDesign.first "
    "ClampDesign.pitch_x ClampDesign.pitch_y PlateDesign.outer_radius PlateDesign.thickness "
    "PlateDesign.centre_bore PlateDesign.rim PlateDesign.arm_pad_width PlateDesign.core_radius "
    "MountDesign.length MountDesign.width MountDesign.seat_radius MountDesign.thickness "
    "MountDesign.head_depth MountDesign.shaft_bore MountDesign.pitch_x MountDesign.pitch_y "
    "LegDesign.height LegDesign.splay LegDesign.thickness LegDesign.depth_top "
    "LegDesign.split LegDesign.lap LegDesign.lap_depth "
    "LegDesign.depth_foot LegDesign.flange_thickness TrayDesign.length TrayDesign.width "
    "TrayDesign.thickness TrayDesign.fence TrayDesign.strap_width TrayDesign.pitch_x "
    "TrayDesign.line TrayDesign.stand TrayDesign.boss TrayDesign.wall "
    "ClipDesign.bundle ClipDesign.places ClipDesign.length ClipDesign.wall ClipDesign.tie "
    "FootDesign.sleeve FootDesign.wall FootDesign.sole FootDesign.flare "
    "GuardDesign.radius GuardDesign.thickness GuardDesign.strut GuardDesign.rim "
    "GuardDesign.height GuardDesign.can "
    "SkidDesign.nose SkidDesign.width SkidDesign.height SkidDesign.sleeve SkidDesign.wall "
    "SkidDesign.sole SkidDesign.flare SkidDesign.lap "
    "TrayDesign.shelf TrayDesign.shelf_length TrayDesign.shelf_pitch_x TrayDesign.shelf_pitch_y "
    "RailDesign.length RailDesign.height RailDesign.web RailDesign.gap RailDesign.flange "
    "RailDesign.lip RailDesign.reach RailDesign.carrier RailDesign.strap_width "
    "MastDesign.height MastDesign.thickness MastDesign.depth MastDesign.flange_thickness "
    "MastDesign.platform_length MastDesign.platform_thickness "
    "CoverDesign.room CoverDesign.wall CoverDesign.roof CoverDesign.tongue CoverDesign.lip "
    "ReceiverHolderDesign.length ReceiverHolderDesign.depth ReceiverHolderDesign.height "
    "ReceiverHolderDesign.across ReceiverHolderDesign.flange_thickness "
    "ReceiverHolderDesign.wall ReceiverHolderDesign.tongue ReceiverHolderDesign.lip "
    "AntennaHolderDesign.diameter AntennaHolderDesign.length AntennaHolderDesign.lead "
    "AntennaHolderDesign.grip AntennaHolderDesign.wall AntennaHolderDesign.out "
    "AntennaHolderDesign.mouth "
    "AntennaHolderDesign.across AntennaHolderDesign.flange_thickness "
    "TrayDesign.pitch_y SeatDesign.side SeatDesign.thickness SeatDesign.post_height "
    "SeatDesign.post_diameter SeatDesign.pitch SeatDesign.foot_pitch SeatDesign.rise "
    "HingeDesign.pivot_bore HingeDesign.lock_bore "
    "FrameDesign.block_width "
    "FrameDesign.block_height FrameDesign.hole_allowance FrameDesign.fit_gap "
    "MaterialCard.outer MaterialCard.bore Placement.translation PartSpec.size MassLine.centre "
    "ModeSet.nodes Deflected.nodes Deflected.tip_deflection LayoutOption.motor_radius "
    "LayoutOption.footprint Assembly.least_gap",
    "rad": "Layout.arm_angles TrayDesign.yaw SkidDesign.turn SeatDesign.turn "
    "HingeDesign.turn HingeDesign.lead "
    "AntennaHolderDesign.tilt GuardDesign.span GuardDesign.strut_at "
    "Deflected.motor_tilt Alternative.tilt",
    "m, rad": "Deflected.displacements",
    "m^3": "PartSpec.volume",
    "N": "RotorState.thrust OperatingPoint.total_thrust LoadCase.rotor_thrust "
    "LoadCase.foot_force LoadCase.slung_force PullOut.load",
    "N*m": "RotorState.torque LoadCase.rotor_torque Fastener.torque",
    "rad/s": "RotorState.speed SpeedRange.speed SpeedRange.hover_speeds SpeedRange.full_speed "
    "SpeedRange.idle_speed",
    "W": "RotorState.shaft_power RotorState.electrical_power OperatingPoint.power "
    "LayoutOption.hover_power",
    "A": "RotorState.current OperatingPoint.battery_current",
    "V": "RotorState.voltage OperatingPoint.battery_voltage",
    "s": "OperatingPoint.endurance LayoutOption.endurance",
    "m/s^2": "ModeSet.felt ModeSet.felt_limit",
    "Hz": "ModeSet.frequencies Alternative.first_mode",
    "K": "MaterialCard.nozzle_temperature MaterialCard.bed_temperature "
    "MaterialCard.glass_transition MaterialCard.heat_deflection",
    "Pa": "MaterialCard.E_xy MaterialCard.E_z MaterialCard.G_xz MaterialCard.strength_xy "
    "MaterialCard.strength_z MaterialCard.shear_z",
    "kg/m^3": "MaterialCard.rho",
    "currency/kg": "MaterialCard.price_low MaterialCard.price_high",
    "1, m, m, m by row": "Layout.allocation",
    "1": "RotorState.throttle SpeedRange.throttle Property.spread Check.margin Check.spread "
    "LayoutOption.thrust_margin Placement.rotation PartSpec.print_rotation ModeSet.shapes "
    "MaterialCard.nu MaterialCard.creep_factor MaterialCard.wet_modulus "
    "MaterialCard.wet_strength MaterialCard.damping Learned.literature_spread "
    "Learned.measured_spread Learned.spread Learned.z",
    "as its card's field": "Property.value Learned.literature Learned.measured Learned.value",
    "as its field unit": "Check.demand Check.capacity",
    "m or 1": "Driver.value",
}
RESULT_UNITS: Final[dict[str, str]] = {
    name: unit for unit, names in _BY_UNIT.items() for name in names.split()
}
