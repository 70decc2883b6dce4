"""Stage 6: panel schedules, circuit tags and drawn wiring tell who protects an outlet, with the evidence."""

from cordpath.circuits.conflicts import conflicts
from cordpath.circuits.digit_panels import spelt_out
from cordpath.circuits.keynotes import KeyedNote, by_keyed_notes, keyed_notes
from cordpath.circuits.notes import Claim, claimed, claims
from cordpath.circuits.panels.general import across_parts
from cordpath.circuits.panels.panels import read_panels
from cordpath.circuits.plan_notes import file_claims, plan_claims
from cordpath.circuits.proposal import propose
from cordpath.circuits.protection import protection_of
from cordpath.circuits.questions import asked
from cordpath.circuits.sets import is_one_set, lacks_panels, lent, title_block_words
from cordpath.circuits.sheets import devices_beside, protect
from cordpath.circuits.shown import shown_protections
from cordpath.circuits.unserved import unserved
from cordpath.circuits.wiring.wiring import trace
