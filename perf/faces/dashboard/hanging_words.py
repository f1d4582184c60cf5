"""What the page of the engine's place says over each of its tables, and which cautions stand there."""

from __future__ import annotations

BESIDE = {  # table: the cautions that stand beside it
    "at_rest": ("flooding", "second_hand_sole"),
    "bracket": ("bracket_low", "bracket_wet"),
    "transom_load": ("transom", "drill"),
    "sideways": ("helm",),
    "critical": ("critical_depth",),
    "wake_models": ("wake_outside",),
}
FOLDED = ("bracket", "transom_load", "sideways", "shallow", "critical", "wake_models")
SECTIONS = {  # table: heading, what it says, columns left out
    "each_hole": (
        "Hole by hole",
        "The shaft that fits, raised hole by hole from the lowest. What is said to beat the hole below "
        "90 times in 100 or more surely does, be it by too little to feel: the miles beside it say by "
        "how much. About 50 in 100 is no difference.",
        (),
    ),
    "with_without": (
        "On the bracket, or on the transom",
        "Each with the plate at the height advised there. The last two rows are the edges of the "
        "difference in eight of ten of our own draws. What somebody promises for a bracket is to be tested here, "
        "it is never put in.",
        ("status",),
    ),
    "at_rest": (
        "At rest",
        "How deep she lies and how high the edges that let water in stand, at every load, with full "
        "fuel, and with everyone and all gear aft.",
        ("forward_m",),
    ),
    "shaft": (
        "Which shaft, how many holes",
        "Every nominal shaft on this transom. A shaft may lie half an inch off its name. A bracket's "
        "seat may go up or down instead.",
        (),
    ),
    "bracket": (
        "The bracket in the water",
        "Where the water behind the transom reaches the bracket. The larger drag is an upper bound.",
        (),
    ),
    "transom_load": (
        "What the transom carries",
        "Figures for the surveyor. Whether the transom carries them is for a qualified person to judge.",
        (),
    ),
    "sideways": (
        "Off the centreline",
        "Power off the centreline turns her; no leeway is taken.",
        (),
    ),
    "shallow": (
        "How shallow she goes",
        "Deepest of keel, propeller and skeg, nothing added for safety.",
        (),
    ),
    "critical": ("In shallow water she drags her own wave", "Between these speeds, by depth.", ()),
    "wake_models": (
        "Water behind the transom",
        "At the propeller, by every model, at the cruise the heights are judged at.",
        (),
    ),
}
