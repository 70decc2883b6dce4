"""Plans of many types as maps of letters: a letter a room; see ``plan_types.py`` for how they are built."""

from __future__ import annotations

from dataclasses import dataclass

Names = str | tuple[str, ...]


@dataclass(frozen=True)
class Type:
    """``rows``: a letter a cell, '.' outdoors; ``wide`` and ``deep``: feet of columns and rows, least and most;
    ``rooms``: letter -> (names to choose from, kind), '' for a room without a name; ``open_``: pairs without a wall
    between; ``doors``: pairs with an opening (``*`` outdoors), its kind and inches."""

    rows: tuple[str, ...]
    wide: tuple[tuple[float, float], ...]
    deep: tuple[tuple[float, float], ...]
    rooms: dict[str, tuple[Names, str]]
    doors: tuple[str, ...]
    open_: tuple[str, ...] = ()
    title: str = ""
    below: bool = False  # a basement
    turns: tuple[float, ...] = (0.0,)


BED = ("BEDROOM", "BEDROOM 1", "MASTER BEDROOM", "BR 1", "PRIMARY SUITE")
BED2 = ("BEDROOM 2", "BR 2", "GUEST ROOM", "BEDROOM 3")
BATH = ("BATH", "BATHROOM", "HALL BATH", "BATH 1", "M. BATH")
BATH2 = ("BATH 2", "POWDER", "PWDR. RM.", "1/2 BATH", "GUEST BATH")
KIT = ("KITCHEN", "KIT.", "KITCHEN")
LIV = ("LIVING ROOM", "GREAT ROOM", "FAMILY ROOM", "LIVING")
DIN = ("DINING", "DINING ROOM", "NOOK")
LAU = ("LAUNDRY", "LAUN.", "LAUNDRY RM")
GAR = ("GARAGE", "2-CAR GARAGE")
HALL = ("HALL", "HALLWAY", "")
CLO = ("CL.", "CLOSET", "W.I.C.", "", "")
B, H, K, L, D, C, G, Y, T = (
    "bedroom",
    "hall",
    "kitchen",
    "living",
    "dining",
    "closet",
    "garage",
    "laundry",
    "bathroom",
)

TYPES: dict[str, Type] = {
    # closets without names between bedrooms, a bath between
    "ranch": Type(
        ("BBcdEETTYYGG", "BBcdEETTYYGG", "HHHHHHHHHHGG", "LLLLLDDDKKGG", "LLLLLDDDKKGG"),
        ((6, 7),) * 2 + ((2, 2.5),) * 2 + ((5.5, 6.5),) * 2 + ((3.5, 4.5),) * 2 + ((3, 4),) * 2 + ((9, 11),) * 2,
        ((6, 6.5), (5, 6.5), (3.5, 4), (7, 8), (6, 7)),
        {"B": (BED, B), "c": ("", C), "d": (CLO, C), "E": (BED2, B), "T": (BATH, T), "Y": (LAU, Y), "H": (HALL,
         H),
         "L": (LIV, L), "D": (DIN, D), "K": (KIT, K), "G": (GAR, G)},
        ("BH", "cB bifold", "dE slider", "EH", "TH", "YH", "YG door 32", "LH cased", "KD cased", "DL cased",
         "KH cased",
         "G* garage", "L* door 36", "D* slider"),
    ),
    "duplex": Type(
        ("LLKKkkll", "LLKKkkll", "HHHTthhh", "BBBTtbbb", "BBBTtbbb"),
        ((6, 7.5), (6, 7), (5, 6), (6, 7), (6, 7), (5, 6), (6, 7), (6, 7.5)),
        ((7, 8), (6, 8), (3.5, 4), (4.5, 5), (6, 7)),
        {"L": ("LIVING ROOM", L), "K": ("KITCHEN", K), "H": ("HALL", H), "B": ("BEDROOM 1", B), "T": ("BATH", T),
         "l": ("LIVING ROOM", L), "k": ("KITCHEN", K), "h": ("HALL", H), "b": ("BEDROOM 1", B), "t": ("BATH", T)},
        ("LK cased 60", "LH cased 42", "BH", "TH", "lk cased 60", "lh cased 42", "bh", "th", "L* door 36",
         "l* door 36"),
    ),
    "basement": Type(
        ("UUUUMMM", "UUUUMMM", "RRRRHTT", "RRRRHTT", "RRRRBBB", "RRRRBBB"),
        ((5, 6),) * 4 + ((4, 5),) + ((4, 5),) * 2,
        ((6, 7), (5, 6), (4, 4.5), (4, 5), (6, 7), (5, 6)),
        {"U": (("UNFINISHED BASEMENT", "UNFINISHED AREA", "UNFIN. BASEMENT"), "basement"),
         "M": (("MECHANICAL", "MECH. ROOM", "FURNACE"), "utility"), "R": (("REC ROOM", "FAMILY ROOM"), L),
         "T": (BATH, T), "B": (BED2, B), "H": (("HALL", ""), H)},
        ("UR", "MU", "RH cased", "TH", "BH", "B* slider"),
        title="BASEMENT POWER PLAN", below=True,
    ),
    "storeys": Type(
        ("LLKKGG..BBEE", "LLKKGG..BBEE", "LLHTGG..hhhh", "DDDYGG..WWcV"),
        ((6.5, 8),) * 2 + ((5.5, 6.5),) * 2 + ((10, 11),) * 2 + ((2, 6), (2, 6)) + ((6, 7),) * 4,
        ((7, 8), (6, 7), (4.5, 5.5), (8, 9.5)),
        {"L": (LIV, L), "K": (KIT, K), "G": (GAR, G), "H": (("HALL", ""), H), "T": ("BATH", T), "D": (DIN, D),
         "Y": (LAU, Y), "B": (BED, B), "E": (BED2, B), "c": (CLO, C), "V": ("BATH 2", T), "h": (HALL, H),
         "W": ("M. BATH", T)},
        ("LK cased 60", "LD cased 60", "YG door 32", "YD", "HT", "HL cased 42", "G* garage", "L* door 36",
         "KG door 32",
         "Bh", "Eh", "Wh", "ch bifold", "Vh"),
    ),
    "detached garage": Type(
        ("BBTKKK..GG", "BBTKKK..GG", "HHHLLL..GG", "EEcLLL..GG", "EEcLLL...."),
        ((6, 7),) * 2 + ((6, 7),) + ((5, 6),) * 3 + ((1, 5), (1, 5)) + ((10, 12),) * 2,
        ((6, 7), (5, 6), (3.5, 4), (6, 7), (5, 6)),
        {"B": (BED, B), "T": (BATH, T), "K": (KIT, K), "H": (HALL, H), "L": (LIV, L), "E": (BED2, B), "c": (CLO,
         C),
         "G": (GAR, G)},
        ("BH", "TH", "HL cased 30", "KL cased 72", "EH", "cE bifold", "G* garage", "G* door 32", "L* door 36",
         "K* door 32"),
    ),
    "open": Type(
        ("BBTHEEYG", "BBTHEEYG", "LLLLKKKG", "LLLDDKKG", "LLLDDKKG"),
        ((6, 7),) * 2 + ((6, 7), (4, 4.5)) + ((5.5, 6.5),) * 2 + ((6, 7), (20, 22)),
        ((6, 7), (5, 6), (5, 6), (6, 7), (6, 7)),
        {"B": (BED, B), "T": (BATH, T), "H": (HALL, H), "E": (BED2, B), "Y": (LAU, Y), "L": (LIV, L), "K": (KIT,
         K),
         "D": (DIN, D), "G": (GAR, G)},
        ("BL", "TH", "HL cased 36", "EH", "YK", "YG door 32", "G* garage", "L* door 36", "D* slider"),
        ("LK", "LD", "DK"),
    ),
    "court": Type(
        ("TBBH..GG", "TBBH..GG", "cEEH..GG", "LLLLDKKK", "LLLLDKKK"),
        ((6, 7),) * 2 + ((6, 7), (4, 4.5)) + ((5, 6), (5, 6)) + ((9, 11),) * 2,
        ((6, 7), (5, 6), (9, 10), (7, 8), (6, 7)),
        {"B": (BED, B), "T": (BATH, T), "H": (HALL, H), "E": (BED2, B), "c": (CLO, C), "L": (LIV, L), "D": (DIN,
         D),
         "K": (KIT, K), "G": (GAR, G)},
        ("BH", "TB", "EH", "cE bifold", "HL cased 42", "LD cased 72", "DK cased 60", "KG door 32", "G* garage",
         "D* slider", "L* door 36"),
    ),
    "studio": Type(
        ("KKLL", "KKLL", "TcLL", "TcLL"),
        ((4, 5), (5, 6), (6, 7), (6, 7)),
        ((4, 5), (4, 5), (4, 5), (4, 5)),
        {"K": ("KITCHEN", K), "L": (("STUDIO", "LIVING / SLEEPING", "LIVING ROOM"), L), "T": (BATH, T),
         "c": (CLO, C)},
        ("TK pocket", "cL bifold", "L* door 36", "L* slider"),
        ("KL",),
    ),
    "apartment": Type(
        ("BBTVEEE", "BBTVEEE", "BBHHHcE", "LLLLYKK", "LLLLYKK", "LLLLDDD"),
        ((6, 7),) * 2 + ((5.5, 6), (5.5, 6), (5, 6), (4, 5), (6, 7)),
        ((6, 7), (5, 6), (3.5, 4), (5, 5.5), (4, 5), (7, 8)),
        {"B": (BED, B), "T": ("BATH 1", T), "V": (BATH2, T), "E": (BED2, B), "H": (HALL, H), "c": (CLO, C),
         "L": (LIV, L),
         "Y": (("LAUNDRY", "W/D", "LAUN."), Y), "K": (KIT, K), "D": (DIN, D)},
        ("BH", "TB", "VH", "EH", "cE bifold", "HL cased 42", "YL bifold", "KD cased 72", "DL cased 60",
         "L* door 36"),
    ),
    "row house": Type(
        ("GGG", "YTc", "KKK", "DDD", "LLL", "BBB"),
        ((5, 6), (6, 7), (4, 5)),
        ((18, 20), (6, 7), (9, 11), (9, 10), (12, 14), (11, 13)),
        {"G": (GAR, G), "Y": (LAU, Y), "T": (BATH2, T), "c": (CLO, C), "K": (KIT, K), "D": (DIN, D), "L": (LIV,
         L), "B": (BED, B)},
        ("YG door 32", "YK", "TK", "cK", "KD cased 72", "DL cased 72", "LB", "G* garage", "B* door 36"),
    ),
    "suite": Type(
        ("BBBVVw", "BBBVVs", "BBBccc", "HHHHHH", "LLLKKY", "LLLKKY"),
        ((5.5, 6.5),) * 3 + ((5, 6),) * 2 + ((4, 5),),
        ((5, 6), (4, 5), (5.5, 6.5), (3.5, 4), (7, 8), (6, 7)),
        {"B": (BED, B), "V": (("M. BATH", "PRIMARY BATH", "ENSUITE"), T), "w": ("", T), "s": ("", T),
         "c": (("W.I.C.", "CLOSET"), C),
         "H": (HALL, H), "L": (LIV, L), "K": (KIT, K), "Y": (LAU, Y)},
        ("BH", "VB cased 36", "wV door 26", "sV cased 30", "cV pocket", "LH cased 48", "LK cased 60", "YK", "YH",
         "L* door 36", "K* door 32"),
    ),
    "breezeway": Type(
        ("BBTKKPGG", "BBTKKPGG", "HHHLLPGG", "EEcLLPGG"),
        ((6, 7),) * 2 + ((6, 7), (6, 7), (6, 7), (8, 11), (10, 12), (10, 12)),
        ((6, 7), (6, 7), (3.5, 4), (9, 11)),
        {"B": (BED, B), "T": (BATH, T), "K": (KIT, K), "H": (HALL, H), "L": (LIV, L), "E": (BED2, B), "c": (CLO,
         C),
         "P": (("BREEZEWAY", "COVERED PATIO"), "outdoors"), "G": (GAR, G)},
        ("BH", "TH", "HL cased 30", "KL cased 72", "EH", "cE bifold", "KP door 36", "GP door 32", "G* garage",
         "L* door 36"),
    ),
    "shop": Type(
        ("SSGGGYKK", "SSGGGYKK", "ccGGGTDD", "ccGGGHLL", "BBBBBHLL"),
        ((6, 7),) * 2 + ((7, 8),) * 3 + ((6, 7), (7, 8), (7, 8)),
        ((6, 7), (5, 6), (6, 7), (5, 6), (11, 12)),
        {"S": (("WORKSHOP", "SHOP"), G), "G": (GAR, G), "c": (("STORAGE", "STOR."), C), "Y": (LAU, Y), "K": (KIT,
         K),
         "T": (BATH, T), "D": (DIN, D), "H": (("HALL", "MUD ROOM", ""), H), "L": (LIV, L), "B": (BED, B)},
        ("SG cased 60", "cG", "YG door 32", "YK", "TH", "HL cased 42", "HG door 32", "BH", "KD cased 60",
         "DL cased 72", "G* garage",
         "L* door 36"),
    ),
    "turned": Type(
        ("BBTKKK", "BBTKKK", "HHHDDD", "EEcLLL", "EEcLLL"),
        ((6, 7),) * 2 + ((6, 7),) + ((5, 6),) * 3,
        ((6, 7), (5, 6), (4, 4), (6, 7), (6, 7)),
        {"B": (BED, B), "T": (BATH, T), "K": (KIT, K), "H": (HALL, H), "L": (LIV, L), "E": (BED2, B), "c": (CLO,
         C), "D": (DIN, D)},
        ("BH", "TH", "HD cased 30", "KD cased 60", "DL cased 72", "EH", "cE bifold", "L* door 36", "K* door 32"),
        turns=(7.0, 15.0, 22.5, 30.0, 37.0),
    ),
    "laundry closets": Type(
        ("BBTTEE", "BBTTEE", "HHHHHH", "yzLLLD", "KKLLLD", "KKLLLD"),
        ((6, 7),) * 2 + ((4, 4.5),) * 2 + ((6, 7),) * 2,
        ((6, 7), (5, 6), (3.5, 4), (3.5, 4), (6, 7), (6, 7)),
        {"B": (BED, B), "T": (BATH, T), "E": (BED2, B), "H": (HALL, H), "y": (("LAUNDRY", "W/D", "LAUN."), Y),
         "z": (("PANTRY", ""), C),
         "L": (LIV, L), "D": (DIN, D), "K": (KIT, K)},
        ("BH", "TH", "EH", "yH bifold", "zH", "LH cased 60", "KL cased 72", "LD cased 72", "L* door 36"),
    ),
    "back to back": Type(
        ("BBTVEE", "BBTVEE", "BBTVEE", "HHHHHH", "KKKYLL", "KKKYLL"),
        ((6, 7),) * 2 + ((5.5, 6),) * 2 + ((6, 7),) * 2,
        ((4, 5), (4, 5), (4, 5), (3.5, 4), (6, 7), (6, 7)),
        {"B": (BED, B), "T": ("BATH 1", T), "V": ("BATH 2", T), "E": (BED2, B), "H": (HALL, H), "K": (KIT, K),
         "Y": (("", "LAUNDRY"), Y),
         "L": (LIV, L)},
        ("BH", "TB", "VE", "EH", "KH cased 42", "YH", "LH cased 60", "L* door 36", "K* door 32"),
    ),
    "split level": Type(
        ("BBTTEE....", "BBTTEE....", "HHHHSSLLLL", "GGGGSSLLLL", "GGGGDDKKKK", "GGGGDDKKKK"),
        ((6, 7),) * 2 + ((5, 5.5),) * 2 + ((5, 6),) * 2 + ((5, 5.5),) * 4,
        ((6, 7), (5, 6), (4, 4), (9, 10), (6, 7), (6, 7)),
        {"B": (BED, B), "T": (BATH, T), "E": (BED2, B), "H": (HALL, H), "S": (("ENTRY", "FOYER", ""), H),
         "G": (GAR, G), "L": (LIV, L),
         "D": (DIN, D), "K": (KIT, K)},
        ("BH", "TH", "ES", "HS cased 48", "SL cased 72", "SG door 32", "SD cased 60", "DK cased 60",
         "LK cased 60", "G* garage", "L* door 36"),
    ),
    "island of rooms": Type(
        ("LLLLLLL", "LLcTpKK", "LLcTpKK", "BBBEEYG", "BBBEEYG"),
        ((6, 7),) * 2 + ((4, 5), (6, 7), (4, 5), (7, 8), (12, 14)),
        ((7, 8), (4, 5), (4, 5), (6, 7), (6, 7)),
        {"L": (LIV, L), "c": (CLO, C), "T": (BATH2, T), "p": (("PANTRY", ""), C), "K": (KIT, K), "B": (BED, B),
         "E": (BED2, B),
         "Y": (LAU, Y), "G": (GAR, G)},
        ("cL", "TL", "pK", "BL", "EL", "EY", "YK", "YG door 32", "G* garage", "L* door 36"),
        ("LK",),
    ),
}  # fmt: skip

__all__ = ["TYPES", "Type"]
