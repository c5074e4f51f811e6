"""Steps of the frame itself: arms, plates, what stands under it and what sits on the arms."""

from refledge.outputs.book.stage import DOWN, HINGES, OUT, UP, Stage

OF_THE_FRAME: tuple[Stage, ...] = (
    Stage(
        "Arms onto the lower plate", ("arm", "arm_inner", "arm_outer", "tube", "root_block"),
        base=("lower_plate", "tray", "rail"), lift=UP, unless=HINGES,
        say=(
            "{controllers}",
            "Put all arms in place before any bolt is tightened.",
        ),
    ),
    Stage(
        "Legs and upper plate: close the stack",
        ("upper_plate", "standoff", "seat", "leg", "leg_upper", "leg_lower"),
        under=("leg", "leg_upper", "leg_lower"),
        unless=HINGES,
        fasteners=("arms between the plates",),
        say=(
            "Put all bolts in from above, washers under head and nut. Where a leg hangs they pass "
            "its flange too; the table below has their lengths.",
            "{decked}",
            "Turn the screws from above and only hold the nuts. Where the battery tray lies below "
            "a nut, bring washer and nut in from the side with a thin open spanner, a dab of "
            "grease to keep them in it.",
            "Tighten in two rounds: first every bolt to half the torque, each arm's inner pair "
            "before its outer pair, and from each arm on to the one furthest away; then the same "
            "round to full torque.",
            "Wait an hour and go round once more: plastic settles under the washers.",
            "{controller_ties}",
        ),
        caution=(
            "Plastic creeps",
            "More torque does not hold better: it crushes the plastic and the bolt is loose by "
            "next week. Use the figure.",
        ),
    ),
    Stage(
        "Mast onto the upper plate", ("mast",), base=("upper_plate", "seat"),
        fasteners=("mast on the upper plate",),
        say=(
            "Put the bolts that were left out on {mast_arm} in through the mast's flange, both "
            "plates and the arm: washers, order and torque as before.",
        ),
    ),
    Stage(
        "Receiver holder onto the upper plate", ("receiver_holder",),
        base=("upper_plate", "seat"), fasteners=("receiver holder on the upper plate",),
        say=(
            "Put the two inner bolts that were left out on {receiver_holder_arm} in through the "
            "holder's flange, both plates and the arm: washers and torque as before.",
            "Press each tongue outwards with a finger by twice its lip: it must come back without "
            "a white mark at its root. A tongue that whitens breaks soon; print that piece hotter.",
        ),
    ),
    Stage(
        "Antenna holder onto the upper plate", ("antenna_holder",), base=("upper_plate", "seat"),
        fasteners=("antenna holder on the upper plate",),
        say=(
            "Put the two inner bolts that were left out on {antenna_holder_arm} in through the "
            "holder's flange, both plates and the arm: washers and torque as before.",
            "Run a drill of the antenna's size through each tube by hand: it must slide.",
        ),
    ),
    Stage(
        "Feet under the legs", ("foot",), lift=DOWN, fasteners=("feet on the legs' ends",),
        say=(
            "Try each foot dry: it slides on by hand and the leg's end reaches the sole.",
            "Roughen both faces with sandpaper, spread a film of contact adhesive in the pocket, "
            "push the foot home and wipe off what comes out. Stand the frame on its feet on a "
            "level table with paper under them and leave it a day.",
        ),
    ),
    Stage(
        "Two parts of each skid", ("skid_rear",), base=("skid_front",), one=True, lift=OUT,
        fasteners=("joints of the skids",),
        say=(
            "Lay the two tongues side by side and put two bolts through from the outside, washers "
            "under head and nut. The joint is flush when the gaps at both its ends are alike.",
            "Both skids are the same, half a turn apart.",
        ),
    ),
    Stage(
        "Skids under the legs", ("skid", "skid_front", "skid_rear"), lift=DOWN,
        fasteners=("skids on the legs' ends",),
        say=(
            "Try each skid dry: both legs slide in by hand and reach the sole.",
            "Roughen the faces with sandpaper, spread a film of contact adhesive in the pockets, "
            "push both legs home and wipe off what comes out. Stand the frame on its skids on a "
            "level table with paper under them and leave it a day.",
        ),
    ),
    Stage(
        "Two halves of each guard", ("guard_right",), base=("guard_left",), one=True, lift=OUT,
        fasteners=("joints of the guards",),
        say=("Bolt the blocks of the two rims together, face to face, both flat on the table.",),
    ),
    Stage(
        "Motor mounts onto the arms",
        ("mount", "motor", "cap", "guard", "guard_left", "guard_right"), under=("cap",),
        fasteners=("motor mounts on the arms",),
        say=(
            "Lead the motor wires their way (chapter Wiring) before the mount goes down.",
            "Tighten crosswise, in two rounds as before.",
        ),
    ),
    Stage(
        "Wire clips onto the arms", ("clip",), fasteners=("wire clips on the arms",),
        say=(
            "Lead each motor's wires along the top of its arm; those of a lower motor come up "
            "beside the arm first.",
            "Set the clips where the picture shows, wires in their troughs, and pull one tie round "
            "each clip and its arm, in the clip's grooves. Leave a loose loop at the motor.",
            "In front of the plates the wires go down beside the arm and in between the plates: "
            "no bend tighter than four times a wire's diameter, none over a sharp edge.",
            "Turn every motor by hand: no wire may come near the blades' way.",
        ),
    ),
)  # fmt: skip
