"""Loads, the stresses they cause, and the torque to turn the plug: numbers, no judgement."""

from __future__ import annotations

from bayonet.strength.joint import LOAD_FACTOR, JointLoad
from bayonet.strength.loads import Shares
from bayonet.strength.material import NOTCH, NOTCH_SOURCE, Body
from bayonet.strength.modes import Mode
from bayonet.strength.seal_load import Range, gasket_contact_mpa, ring_load
from bayonet.strength.stopping import stop_torque_nmm
from bayonet.strength.study import StrengthStudy, strength_of
from bayonet.strength.turning import WIDEST_GRIP_MM, Turning

__all__ = [
    "LOAD_FACTOR",
    "NOTCH",
    "NOTCH_SOURCE",
    "WIDEST_GRIP_MM",
    "Body",
    "JointLoad",
    "Mode",
    "Range",
    "Shares",
    "StrengthStudy",
    "Turning",
    "gasket_contact_mpa",
    "ring_load",
    "stop_torque_nmm",
    "strength_of",
]
