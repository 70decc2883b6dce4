"""The words of room names: a table, one row a kind of place.

Every row is a list of alternatives in the notation of regular expressions, with two shorthands: ``~`` means that
RM, ROOM or AREA may follow, ``@`` means that one of them does.  Names are in the normal form of vocabulary.py.
Earlier rows win where two match the same end of a name.  The words are those of published abbreviation lists
and of plans; which kind a word is given is common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from cordpath.model import BASEMENT, RoomKind

ROOM = "(?:RM|ROOM|AREA)"
COVERS = "COV|COVD|COVERED|CVD|CVRD|SCR|SCRD|SCRN|SCRND|SCREEN|SCREENED"  # of a porch, in short ways too


@dataclass(frozen=True)
class Row:
    kind: RoomKind
    names: str
    finished: bool | None = None
    basin_test: bool = False
    doubt: str | None = None

    @property
    def pattern(self) -> str:
        return self.names.replace("~", f"(?: ?{ROOM})?").replace("@", ROOM)


PANTRY = "a pantry is a food area where it has a counter or a sink; none was found"
WINE = "a wine room is a food area where it has a counter or a sink; none was found"
UTILITY = "a utility room is laundry where a washer or a laundry tray is in it"
SHOP = "taken for a work area not intended as habitable"
ENCLOSED = "an enclosed porch may be a room of the house"
SLEEPING = "a sleeping porch may be open or screened, which is outdoors, or a bedroom"
WET_SPA = "a spa may be a tub outdoors or a room of the house"
COOLED = "a wine cellar may be a cooled room of any storey"

CORES: tuple[Row, ...] = (
    Row(
        "outdoors",
        "OUTDOOR (?:KITCHEN|KIT|LIVING|DINING|SHOWER|BAR|AREA)|SUMMER (?:KITCHEN|KIT)|GRILL(?:ING)? AREA|BBQ|"
        "(?:OPEN AIR|AL ?FRESCO)(?: (?:KITCHEN|KIT|LIVING|DINING|BAR|LOUNGE|@))?",
    ),
    Row(
        "outdoors",
        "(?:ENCLOSED|ENCL|GLASSED|GLASSED IN|GLAZED|SUN) PORCH|(?:3|4|THREE|FOUR) SEASONS? PORCH|"
        "(?:3|THREE) SEASONS?~|(?:ENCLOSED|ENCL) (?:PATIO|BREEZEWAY|LANAI|DECK|BALCONY|VERANDAH?)",
        doubt=ENCLOSED,
    ),
    Row("outdoors", "SLEEPING PORCH|PORCH BED(?:ROOM|RM)?", doubt=SLEEPING),
    Row("outdoors", "SPA", doubt=WET_SPA),
    Row(
        "outdoors",
        "PORCH|PRCH|DECK|PATIO|BALCONY|BALC|LANAI|TERRACE|VERANDAH?|LOGGIA|BREEZEWAY|PORTE COCHERE|"
        "COURTYARD|COURT|STOOP|PORTICO|ALCOVE PORCH|SUN DECK|DRIVEWAY|DRIVE|WALKWAY|YARD|GARDEN|PERGOLA|"
        "GAZEBO|CABANA|POOL|HOT TUB|EGRESS WELL|WINDOW WELL|AREAWAY|ROOF DECK|EXTERIOR|OUTSIDE|LAWN|"
        rf"(?:{COVERS})(?: (?:FRONT|REAR|BACK|SIDE|MAIN|OUTDOOR))? "
        "(?:ENTRY|ENTRYWAY|ENTRANCE|WALK|PASSAGE|AREA|LIVING|DINING|KITCHEN|LANDING|STAIRS?|STORAGE|@)",
    ),
    Row(
        "outdoors",
        "CARPORT|CARPT|CAR PORT",
        doubt="a carport is taken as outdoors",
    ),
    Row("boathouse", "BOAT ?HOUSE|BOAT GARAGE|BOAT (?:LIFT|HOIST|SLIP|DOCK)"),
    Row(
        "bathroom",
        "M?BATH~|BATHROOM|BA?THRM|BATH SUITE|TUB @|BTH|BA|MBA|ENSUITE|EN SUITE|JACK AND JILL(?: BATH)?|"
        "J AND J(?: BATH)?|WET @|WETROOM|SHOWER @|SHWR @|STEAM~|[134]/[24] BA(?:TH)?",
    ),
    Row(
        "bathroom",
        "POWDER~|PWDR~|PWD~|PDR~|POW~|LAVATORY|LAV|TOILET~|TLT~|TOIL|W/?C|"
        "(?:WATER|WTR|TOILET|TLT|W/?C|SHOWER|SHWR|LAV) (?:CLOSET|CLOS?|CL)|"
        "RESTROOM|REST ROOM|WASH ?(?:ROOM|RM)|VANITY(?: AREA)?|DRESSING/VANITY|SHOWER|SHWR",
        basin_test=True,
    ),
    Row("damp or wet", "SAUNA|INDOOR POOL|POOL @|GREENHOUSE|CONSERVATORY"),
    Row(
        "food area",
        "WET ?BAR|BAR~|WBAR|COFFEE(?: BAR| STATION)?|BEVERAGE(?: CTR| CENTER| STATION)?|"
        "BUTLERS?(?: PANTRY)?|SCULLERY|MESSY (?:KITCHEN|KIT)|BACK (?:KITCHEN|KIT)|JUICE BAR|"
        "MORNING (?:KITCHEN|KIT|BAR)|PREP (?:KITCHEN|KIT)|CATERING (?:KITCHEN|KIT)|"
        "(?:PREP|WORKING|CHEFS?|CATERERS|CATERING|MESSY|DIRTY|WET|SERVING|B|BUTL?) (?:PANTRY|PN?TRY)|KITCHENETTE|"
        "KETTE|BP|SERVERY",
    ),
    Row("kitchen", "KITCHEN(?: AREA)?|KIT|KITCH|KITCHN|KTCHN?"),
    Row("closet", "WINE~|WINE (?:CLOSET|STORAGE|STOR|GROTTO|VAULT|DISPLAY|WALL|TASTING)", doubt=WINE),
    Row("closet", "(?:WALK IN |WI |FOOD )?PANTRY|WIP|PANTRY~|PN?TRY|PNTR|PANT", doubt=PANTRY),
    Row(
        "dining",
        "DINN?ING~|DIN~|DNG|NOOK|(?:BREAKFAST|BRKFA?ST|BKFST|B ?FAST)(?:~| NOOK)|EATING(?: AREA| NOOK)?|EAT IN|"
        "EATERY|MORN(?:ING)? @|DINETTE",
    ),
    Row(
        "laundry",
        "LAUNDRY(?: CLOSET| CLO| CL| NOOK| NICHE)?~|LAUND|LAUN(?:/MUD)?~|LAU~|LNDRY~|LNDY~|LDRY~|LDY~|"
        "W ?/ ?D|WASHER ?/ ?DRYER|"
        "STACK(?:ED)? W/D|"
        "(?:W ?(?:/|AND) ?D|WASH(?:ER)?(?: ?(?:/|AND) ?DRYER)?|DRYER) (?:CL|CLO|CLOS|CLOSET|NICHE|NOOK|ALCOVE)",
    ),
    Row(
        "garage",
        r"(?:\d|ONE|TWO|THREE|SINGLE|DOUBLE)?[- ]?(?:CAR )?(?:GARAGE|GAR)(?: BAY)?|(?:CAR|RV) BAY|"
        "(?:CAR|RV|VEHICLE) (?:STORAGE|STOR)|(?:CAR|AUTO|VEHICLE) LIFT",
    ),
    Row(
        "accessory building",
        "WORK ?SHOP|SHOP|SHED|STOR(?:AGE)? BLDG|STORAGE BUILDING|BARN|PUMP HOUSE|PUMPHOUSE|"
        "POOL EQUIP(?:MENT)?|GOLF CART|TOOL SHED|POTTING SHED|(?:WORK|TOOL|POTTING) @|"
        "(?:FIRE)?WOOD (?:STOR(?:AGE)?|@)",
        doubt=SHOP,
    ),
    Row("crawl space", "CRAWL ?SPACE|CRAWL|CRAWLSPACE"),
    Row(
        "basement",
        rf"(?:UNFIN(?:ISHED)?|UNF) (?:{BASEMENT}|LOWER LEVEL|AREA|SPACE|STOR~|STORAGE~|MECH(?:ANICAL)?~|"
        "UTIL(?:ITY)?~|@)|UNFINISHED|UNFIN",
        finished=False,
    ),
    Row("basement", rf"FIN(?:ISHED)? (?:{BASEMENT}|LOWER LEVEL)", finished=True),
    Row("basement", rf"{BASEMENT}~|LOWER LEVEL|ROOT CELLAR|SUMP~"),
    Row("basement", "WINE CELLAR", doubt=COOLED),
    Row(
        "utility",
        "MECH(?:ANICAL)?(?:/STORAGE|/STOR)?~|FURN(?:ACE)?~|HVAC~|W ?H(?: CLOSET)?|(?:WTR|WATER) HTR|WATER HEATER|"
        "ELEC(?:TRICAL)?~|BOILER~|EQUIP(?:MENT)?~|AHU|IT @|"
        "(?:UTIL(?:ITY)?|MECH(?:ANICAL)?|FURN(?:ACE)?|HVAC|AHU|BOILER|ELEC(?:TRICAL)?|WATER HEATER|WTR HTR) "
        "(?:CL|CLO|CLOS|CLOSET)",
    ),
    Row("utility", "UTILITY~|UTIL~", doubt=UTILITY),
    Row("attic", "ATTIC(?: STOR| STORAGE)?|KNEE ?WALL(?: STORAGE)?"),
    Row(
        "closet",
        "CLOSETS?|CLOS|CLO|WALK IN(?: CLOSET| CL)?|REACH IN|WIC|WI CL(?:OSET)?|WICL|LINENS?|COATS?|"
        "(?:COAT|LINEN) CL(?:OSET)?|WARDROBE|STORE(?: ROOM)?|STORAGE~|STOR~|STG|DRESSING~|BROOM(?: CL(?:OSET)?)?|"
        "JAN(?:ITOR)?|HIS|HERS|SHOES|CLOTHES|LUGGAGE|GIFT WRAP(?:PING)?",
    ),
    Row(
        "hall",
        "HALL|HALLWAY|CORRIDOR|CORR|STAIRS?(?: (?:UP|DN|DOWN))?|STAIRWAY|STAIRWELL|STAIR ?HALL|LANDING|GALLERY|"
        "PASSAGE|ENTRY~|ENTRYWAY|FOYER|FOY|VESTIBULE|VEST|ENTRANCE|MUD~|MUDROOM|MUDRM|MUD/ENTRY|DROP ZONE|BOOT @|"
        "LOBBY|CIRCULATION|AIR ?LOCK|BACK HALL|BALCONY HALL|ROTUNDA",
    ),
    Row(
        "bedroom",
        "BED~|BEDROOM|BDRM|BEDRM|BDR|MBR|BR|MASTER(?: SUITE| BED)?|MSTR(?: SUITE)?|PRIMARY(?: SUITE)?|"
        "OWNERS?(?: SUITE)?|SUITE|GUEST(?: SUITE)?~|NURSERY|BUNK~|IN LAW(?: SUITE)?|"
        "SLEEPING(?: LOFT)?~|RETREAT|KIDS @|MAIDS?(?: QUARTERS)?~|NANNYS?~|AU PAIR|CHAMBER|BEDROM",
    ),
    Row(
        "living",
        "LIVING(?:/DINING)?~|LIV~|GREAT~|GRT~|FAMILY~|FAM~|DEN|OFFICE|OFC|HOME OFFICE|LIBRARY|LIB|"
        "REC(?:REATION)?~|GAMES?~|BILLIARDS?~|MEDIA~|THEAT(?:ER|RE)~|HOME THEAT(?:ER|RE)|BONUS~|LOFT|FLEX~|"
        "HEARTH~|KEEPING~|SUN ?@|SUNROOM|4 SEASONS?~|FOUR SEASONS?~|EXERCISE~|GYM|"
        "FITNESS~|CRAFTS?~|HOBBY~|SITTING~|LOUNGE|PARLOR|MUSIC~|PLAY~|PLAYROOM|SEWING~|COMPUTER~|SCHOOL~|"
        "TV~|READING(?: NOOK)?|POCKET OFFICE|STUDIO|TECH(?: CENTER)?|CHAPEL|HOMEWORK(?: AREA)?|"
        "GATHERING~|CONVERSATION PIT|MAN CAVE|STUDY(?: (?:NOOK|NICHE|ALCOVE))?|READING~|"
        "(?:TECH|COMPUTER|DESK) NOOK|(?:HOME )?CINEMA|MOVIE~|YOGA~|MEDITATION~|WORKOUT~|CLUB @|PIANO @|"
        "(?:TOY|TEEN|ZEN|PRAYER|TROPHY|KIDS|BOYS|GIRLS) @|CLASSROOM|(?:COMMAND|PLANNING) (?:CENTER|CTR)|"
        "MULTI ?PURPOSE~|FLEX SPACE|GOLF SIM(?:ULATOR)?~|FIRESIDE~|LODGE~|LOFT AREA|PARLOUR",
    ),
    Row(
        "other",
        "ELEV(?:ATOR)?|SAFE @|STORM SHELTER|SHELTER|VAULT @|TRASH|DOG @|PET @|LIFT|"
        "PANIC @|(?:SERVER|DATA|NETWORK)~|AV(?: RACK)?",
    ),
)

# Whole tags only: inside longer text they mean other things (CL centre line, DR door, FR frame).
EXACT: dict[str, RoomKind] = {
    "B": "bathroom",
    "ENS": "bathroom",
    "K": "kitchen",
    "CL": "closet",
    "LIN": "closet",
    "DR": "dining",
    "LR": "living",
    "FR": "living",
    "PAN": "closet",
    "LL": "basement",
    "CS": "crawl space",
    "ST": "hall",
    "SU": "bedroom",
}

# Names that are as often labels inside another room: alone they name a space, beside another name they do not.
WEAK = (
    "SUMP|SHOWER|SHWR|VANITY|LAV|TOILET|TLT|WC|WATER CLOSET|LINENS?|LIN|COATS?|HIS|HERS|SHOES|READING(?: NOOK)?|"
    "STAIRS?(?: (?:UP|DN|DOWN))?|ST|WH|W H|FURN|FURNACE|AHU|ELEV|BP|SPA|POOL|DRESSING|DRIVE|DRIVEWAY|YARD|GARDEN|"
    "WALKWAY|LAWN|BR|CL|B|K|SU|BA|TRASH|BROOM|BAR|TECH"
)

# Words that may stand with a core and change nothing.
QUALIFIERS = (
    r"\d+[A-Z]?|#\d+|NO|[A-F]|I{1,3}|IV|V|EAST|WEST|NORTH|SOUTH|N|S|E|W|NE|NW|SE|SW|UPSTAIRS|DOWNSTAIRS|"
    "UPPER|UPR|LOWER|MAIN|FRONT|REAR|BACK|SIDE|LEFT|RIGHT|MASTER|MSTR|M|PRIMARY|PRIM|OWNERS?|GUEST|GST|HALL|"
    "KIDS|BOYS|GIRLS|CHILD(?:REN)?S?|JR|JUNIOR|OPEN|ENCLOSED|WOOD|"
    "CONC|CONCRETE|STONE|PAVER|EXISTING|EXIST|EX|EXTG|NEW|PROPOSED|FUTURE|OPTIONAL|OPT|SMALL|LARGE|FORMAL|"
    "INFORMAL|CASUAL|FAMILY|POOL|PRIVATE|PUBLIC|FULL|HALF|1/2|3/4|FIRST|SECOND|THIRD|1ST|2ND|3RD|4TH|FLOOR|"
    "FLR|LEVEL|WALK|IN|ATTACHED|DETACHED|TANDEM|RV|BOAT|HIS|HERS|COMMON|UNIT|ADU|CENTER|CTR|HOME|GARDEN|"
    "SUN|BREAKFAST|LIVING|DINING|BED|BEDROOM|BR|BATH|KITCHEN|LAUNDRY|GARAGE|ENTRY|FOYER|MUD|STORAGE|STOR|"
    "ATTIC|DEN|OFFICE|GAME|MEDIA|CLOSET|PORCH|DECK|PATIO|LINEN|COAT|PANTRY|UTILITY|MECH|LOFT|"
    "BONUS|GREAT|REC|LIBRARY|STUDY|STAIR|BAR|COFFEE|UNFIN|UNFINISHED|FIN|FINISHED|VAULTED|CAR|ONE|TWO|"
    "THREE|SUITE|SPARE|TEEN|NANNY|ROOM|RM|AREA|BUILT|UNDER|STAIRS|HER|SONS?|DAUGHTERS?|PARENTS?|GRANDMAS?|LAW|AU|"
    "PAIR|MOTHER|VIP|PRI|FORM|GRAND|CORNER|ACCESSIBLE|ADA|HC|STORY|FRIENDS|REACH|GALLERY|TOY|CHINA|HOLIDAY|XMAS|"
    "CHRISTMAS|SEASONAL|LUGGAGE|SHOE|CEDAR|GUN|TECH|COMPUTER|DESK|MOVIE|YOGA|ART|MUSIC|DANCE|AV|DATA|IT|EAT|DINE|"
    f"SECONDARY|GOURMET|COUNTRY|CHEFS|ISLAND|GALLEY|SPICE|WOK|KOSHER|BREAK|BRK|{COVERS}|{BASEMENT}"
)

# A place whose outlets are protected, told before the use of a part of it (GARAGE STORAGE, KITCHEN DINING): the
# words that name the place, and the kinds of what follows that leave no doubt, because such a part is not in the
# place but leads or belongs to it (GARAGE ENTRY, BATH CLOSET).
PLACES: tuple[tuple[RoomKind, str, tuple[RoomKind, ...]], ...] = (
    ("garage", "GARAGE|GAR", ("hall",)),
    ("garage", "CAR|CARS|AUTO|MOTOR|VEHICLE", ()),
    # A covered or screened part of a house is a porch, whatever it is used for.
    ("outdoors", COVERS, ()),
    ("basement", BASEMENT, ()),
    ("kitchen", "KITCHEN|KIT|KITCH", ("hall",)),
    ("laundry", "LAUNDRY|LAUND|LAUN|LNDRY|LDRY|LDY", ()),
    ("bathroom", "BATH|BATHROOM|BATHRM", ("hall", "closet", "bedroom")),
    (
        "outdoors",
        "OUTDOORS?|EXTERIOR|EXT|OUTSIDE|PORCH|PRCH|DECK|PATIO|BALCONY|BALC|LANAI|TERRACE|VERANDAH?|LOGGIA|"
        "BREEZEWAY|CARPORT|FIRE ?PIT|POOLSIDE|ROOFTOP|ALFRESCO",
        (),
    ),
    ("outdoors", "PORTICO|GAZEBO|PERGOLA|PAVILION|RAMADA|STOOP|CABANA", ("bedroom",)),
    ("food area", "BAR|COFFEE", ("hall",)),
    ("accessory building", "WORK ?SHOP|SHED|BARN", ()),
    # Stores of what is used outdoors are often sheds or boathouses with a door of their own.
    (
        "accessory building",
        "POOL|BOAT|KAYAK|CANOE|GARDEN|LAWN|MOWER|TRACTOR|UNCOND|UNCONDITIONED|UNHEATED|DETACHED|DET",
        ("hall", "bedroom", "living", "attic"),
    ),
)

# What stands at an outlet or on a wall for what is plugged in there, and with another word in names (TV ROOM).
DEVICES = r"TV(?: \d+)?"

# Text that is no room's name, whatever words are in it.
STOP = (
    rf"{DEVICES}|"
    # Stairs and doors are named by where they lead, in the garage or the hall that they lead from.
    r"(?:(?:STAIRS?|STEPS?|LADDER|DOOR|ACCESS|OPEN|EXIT|UP|DN|DOWN) )*TO [A-Z 0-9]+|"
    r"OPEN TO (?:BELOW|ABOVE|BEYOND)|(?:UP|DN|DOWN)(?: \d+R?)?|REF|REFRIG|DW|FP|F P|FIREPLACE|SHELF|SHELVES|"
    "R AND S|ROD AND SHELF|ATTIC ACCESS|CRAWL ACCESS|ACCESS|SLOPE|HDR|HEADER|EQ|TYP|CLG|"
    "VAULT(?:ED)?(?: CLG| CEILING)?|TRAY"
    "|UNEXCAVATED|SCALE.*|"
    # Furniture
    "(?:BUILT IN )?(?:DESK|BENCH|HUTCH)|PLANNING DESK|BUILT ?INS?|LOCKERS|CUBB(?:Y|IES)|BOOK ?(?:CASES?|SHELVES)|"
    "BANQUETTE|ISLAND|PENINSULA|PIANO|(?:MUD )?BENCH"
)
STOP_WORDS = (
    "DOOR|DR OPNR|CLG|CEILING|ABOVE|BELOW|BEYOND|PLAN|ELEVATION|SECTION|DETAIL|NOTE|NOTES|SCHEDULE|SEE|PER|"
    "PROVIDE|INSTALL|VERIFY|FROM|WITH|SHALL|TYP|BEAM|HDR|OUTLET|GFI|GFCI|RECEPTACLE|VENT|WINDOW|SINK|TUB|"
    "RANGE|CABINETS?|COUNTER|SHELF|LINE|DRAIN|FLOOR PLAN|WALL|WALLS|SQ FT|SF|SLAB|POST|EXHAUST|FAN|BARRIER|MEMBRANE"
)

# From the use that asks for most to the one that asks for least, for names of several uses.
STRICT: tuple[RoomKind, ...] = (
    "bathroom", "kitchen", "garage", "laundry", "food area", "outdoors", "basement", "crawl space", "boathouse",
    "accessory building", "damp or wet", "utility", "attic", "bedroom", "living", "dining", "hall", "closet",
    "other",
)  # fmt: skip
