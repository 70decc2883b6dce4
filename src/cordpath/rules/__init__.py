"""Stage 7: an edition of the code, as data, judges every outlet: requirement, protection, verdict, reasons."""

from cordpath.rules.amend import amend
from cordpath.rules.book import explain, find_lines, rule_lines
from cordpath.rules.edition import Amendment, Edition, dated, edition_cautions, edition_notes
from cordpath.rules.judge import judge
from cordpath.rules.lights import is_judged_light
from cordpath.rules.load import default_edition, editions, load_amendment, load_edition
