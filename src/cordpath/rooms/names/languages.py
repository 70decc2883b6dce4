"""Room names in Spanish, the French of Canada and the English of the Philippines, as plans of houses write them.

Whole names only, in the normal form of vocabulary.py and without accents; a number may follow.  The words are those
of dictionaries; which kind a word is given is common practice, no source.  Words of several meanings are left out
(BODEGA, a shed or a cellar; TALLER, a studio or a shop; SOLARIUM and ATRIUM, a room or outdoors; CHAMBRE FROIDE):
what is unknown is asked.
"""

from __future__ import annotations

import unicodedata

from cordpath.model import RoomKind

_NAMES: dict[RoomKind, str] = {
    "bathroom": "BANO|MEDIO BANO|1/2 BANO|BANO COMPLETO|BANO PRINCIPAL|BANO DE VISITAS|ASEO|SANITARIO"
    "|COMFORT ROOM|SALLE DE BAINS?|SALLE DEAU|TOILETTES?",
    "kitchen": "COCINA|CUISINE",
    "laundry": "LAVANDERIA|LAVADERO|CUARTO DE LAVADO|CTO DE LAVADO|CTO LAVADO|AREA DE LAVADO|BUANDERIE"
    "|SALLE DE LAVAGE",
    "garage": "COCHERA|GARAJE",
    "outdoors": "TERRAZA|PATIO DE SERVICIO|BALCON|JARDIN|AZOTEA|TERRASSE|GALERIE|VERANDA|VARANDA|COUR",
    "basement": "SOTANO|SOUS SOL",
    "crawl space": "VIDE SANITAIRE",
    "accessory building": "REMISE|CABANON",
    "bedroom": "RECAMARA|RECAMARA PRINCIPAL|DORMITORIO|DORMITORIO PRINCIPAL|ALCOBA|CHAMBRE|CHAMBRE DES MAITRES"
    "|CHAMBRE PRINCIPALE|CHAMBRE DAMIS|CHAMBRE A COUCHER",
    "living": "SALA|SALA FAMILIAR|ESTANCIA|ESTUDIO|SALON|SALLE FAMILIALE|SALLE DE SEJOUR|SEJOUR|BUREAU",
    "dining": "COMEDOR|DESAYUNADOR|SALLE A MANGER|COIN REPAS|COIN DINER",
    "hall": "PASILLO|VESTIBULO|RECIBIDOR|ESCALERA|COULOIR|HALL DENTREE|ESCALIER|PALIER",
    "closet": "CLOSET|VESTIDOR|GARDE ROBE|LINGERIE|RANGEMENT",
}


def without_accents(text: str) -> str:
    """``CHAMBRE DES MAITRES`` of a name with its accents."""
    return "".join(letter for letter in unicodedata.normalize("NFD", text) if not unicodedata.combining(letter))


FOREIGN: dict[str, RoomKind] = {
    name: kind
    for kind, names in _NAMES.items()
    for pattern in names.split("|")
    for name in ((pattern.replace("S?", "S"), pattern.replace("S?", "")) if "S?" in pattern else (pattern,))
}
