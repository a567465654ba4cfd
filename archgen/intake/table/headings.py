"""Which column of a table says what: by its heading, in several languages; changeable, and kept for the next time.

Heading words: common practice, no source; German, French, Spanish, Italian, Portuguese, Swedish from memory.
"""

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

from archgen.errors import UsageError
from archgen.languages.house import say
from archgen.plain_text import words_of
from archgen.storage.files import write_atomically
from archgen.toml.problem import nearest
from archgen.writing.values import toml_key, toml_value


class Column(Enum):
    """What a column can say; the value is the word for it that an artist types."""

    TITLE = "title"
    DATE = "date"
    CLIENT = "client"
    PLACEMENT = "placement"
    SIDE = "side"
    SIZE = "size"
    WIDTH = "width"
    HEIGHT = "height"
    HOURS = "hours"
    NEEDLES = "needles"
    INKS = "inks"
    STYLES = "styles"
    SUBJECTS = "subjects"
    PRICE = "price"
    DEPOSIT = "deposit"
    RELEASE = "release"
    NOTE = "note"


# "Name" is in no list: it may be the client's, and a title is public. Nor are "time" and "colour".
_WORDS = {
    Column.TITLE: (
        "title, piece, tattoo, tattoo name, motif, design, subject line, project, titel, motiv, projekt, "
        "tatouage, titre, dessin, titulo, tatuaje, diseno, pieza, titolo, tatuaggio, soggetto, disegno, "
        "tatuagem, desenho, peca, tatuering"
    ),
    Column.DATE: (
        "date, day, date done, done on, finished, finished on, appointment, session date, datum, tag, termin, "
        "fecha, dia, data, jour, date de seance, giorno, seduta, sessao, dag, klar"
    ),
    Column.CLIENT: (
        "client, client name, client code, customer, customer name, kunde, kundin, kundenname, kunde name, "
        "client nom, cliente, nombre cliente, kund, kundnamn"
    ),
    Column.PLACEMENT: (
        "placement, place, location, body part, bodypart, area, where, position, region, stelle, "
        "koerperstelle, korperstelle, platzierung, ort, emplacement, endroit, zone, zona, lugar, ubicacion, "
        "colocacion, parte del cuerpo, posizione, punto, local, parte do corpo, placering, kroppsdel"
    ),
    Column.SIDE: ("side, left right, l r, seite, cote, lado, lato, sida"),
    Column.SIZE: (
        "size, dimensions, grosse, groesse, masse, taille, tamano, medida, medidas, dimensioni, misura, "
        "misure, tamanho, storlek, matt"
    ),
    Column.WIDTH: ("width, breite, largeur, ancho, anchura, larghezza, largura, bredd"),
    Column.HEIGHT: ("height, length, hohe, hoehe, hauteur, alto, altura, altezza, hojd"),
    Column.HOURS: (
        "hours, duration, hrs, h, stunden, dauer, heures, duree, horas, duracion, ore, durata, duracao, timmar"
    ),
    Column.NEEDLES: (
        "needle, needles, needle groups, nadel, nadeln, aiguille, aiguilles, aguja, agujas, ago, aghi, "
        "agulha, agulhas, nal, nalar"
    ),
    Column.INKS: ("ink, inks, encre, encres, tinta, tintas, inchiostro, inchiostri"),
    Column.STYLES: ("style, styles, stil, stile, style de tatouage, estilo, estilos, stili"),
    Column.SUBJECTS: (
        "subject, subjects, tags, keywords, theme, thema, themen, stichworte, sujet, sujets, mots cles, tema, "
        "temas, etiquetas, soggetti, amne"
    ),
    Column.PRICE: (
        "price, charged, total, cost, fee, paid, preis, betrag, prix, tarif, precio, prezzo, costo, preco, valor, pris"
    ),
    Column.DEPOSIT: (
        "deposit, down payment, anzahlung, acompte, arrhes, deposito, senal, anticipo, acconto, caparra, "
        "sinal, handpenning"
    ),
    Column.RELEASE: (
        "release, photo release, photo consent, photo permission, fotofreigabe, freigabe, foto ok, "
        "autorisation photo, permiso fotos, liberatoria, autorizacao de imagem, fototillstand"
    ),
    Column.NOTE: (
        "note, notes, remark, remarks, comment, comments, notiz, notizen, bemerkung, bemerkungen, remarque, "
        "remarques, notas, nota, comentario, comentarios, observaciones, note interne, osservazioni, "
        "observacoes, anteckning, anteckningar"
    ),
}
# Only one column may say it; of the others several may (two columns of needles).
_ONCE = frozenset(Column) - {Column.NEEDLES, Column.INKS, Column.NOTE, Column.STYLES, Column.SUBJECTS}
_UNIT = re.compile(r"[\s([/,]*\b(?:in\s+)?(mm|cm|inch(?:es)?|in|zoll|pulgadas|pouces)\b[\s)\]]*$", re.IGNORECASE)
_UNITS = {"mm": "mm", "cm": "cm"}
# Typed for a column that is left out.
LEFT_OUT = "-"


@dataclass(frozen=True, slots=True)
class MappedColumn:
    """One column: its place from 0, its heading, what it says (None: left out), the unit its heading names."""

    place: int
    heading: str
    column: Column | None
    unit: str | None = None


def map_columns(headings: Sequence[str], told: Mapping[str, Column | None]) -> tuple[MappedColumn, ...]:
    """Say what each column is: as it was told, else by its heading.

    Raises:
        UsageError: A column is told that the table does not have, or two columns are told to be the same.
    """
    by_plain = {_plain(heading): heading for heading in headings}
    for heading in told:
        if _plain(heading) not in by_plain:
            near = nearest(heading, headings)
            message = say('The table has no column "{heading}".', heading=heading)
            perhaps = say('Perhaps "{heading}"?', heading=near)
            raise UsageError(f"{message} {perhaps}" if near else message)
    said = {_plain(heading): column for heading, column in told.items()}
    mapped: list[MappedColumn] = []
    taken = {column for column in said.values() if column}
    for place, heading in enumerate(headings):
        plain = _plain(heading)
        column = said[plain] if plain in said else _guessed(plain)
        if plain not in said and column in _ONCE:
            column = None if column in taken else column
        if column in _ONCE and any(one.column is column for one in mapped):
            raise UsageError(
                say(
                    'Two columns are said to be the {column}. Leave one out: --column "{heading}=-".',
                    column=column.value,
                    heading=heading,
                )
            )
        if column:
            taken.add(column)
        mapped.append(MappedColumn(place, heading, column, unit_of(heading)))
    return tuple(mapped)


def unit_of(heading: str) -> str | None:
    """Give the unit a heading names: "Width (mm)"."""
    match = _UNIT.search(heading)
    return _UNITS.get(match[1].lower(), "in") if match else None


def read_told(typed: Sequence[str]) -> dict[str, Column | None]:
    """Read "Motiv=title" and "Phone=-".

    Raises:
        UsageError: One does not have this form.
    """
    told: dict[str, Column | None] = {}
    words = {column.value: column for column in Column}
    for one in typed:
        heading, equals, word = one.rpartition("=")
        plain = word.strip().lower()
        if not equals or (plain != LEFT_OUT and plain not in words):
            raise UsageError(
                say(
                    'Write --column "HEADING=WORD", WORD being one of {words}, or - to leave it out.',
                    words=", ".join(words),
                )
            )
        told[heading.strip()] = words.get(plain)
    return told


def load_told(file: Path, headings: Sequence[str]) -> dict[str, Column | None]:
    """Give what was told of these headings before; nothing where the file is not there or cannot be read."""
    try:
        kept = tomllib.loads(file.read_text(encoding="utf-8")).get("columns", {})
    except (OSError, tomllib.TOMLDecodeError, UnicodeDecodeError):
        return {}
    words = {column.value: column for column in Column}
    plain = {_plain(heading): heading for heading in headings}
    return {plain[_plain(name)]: words.get(str(word)) for name, word in kept.items() if _plain(name) in plain}


def keep_told(file: Path, told: Mapping[str, Column | None]) -> None:
    """Keep what was told for the next time, beside what was told of other tables."""
    try:
        kept = tomllib.loads(file.read_text(encoding="utf-8")).get("columns", {})
    except (OSError, tomllib.TOMLDecodeError, UnicodeDecodeError):
        kept = {}
    kept |= {heading: column.value if column else LEFT_OUT for heading, column in told.items()}
    lines = [f"{toml_key(str(heading))} = {toml_value(str(word))}" for heading, word in kept.items()]
    write_atomically(file, ("\n".join(["[columns]", *lines]) + "\n").encode())


def _plain(heading: str) -> str:
    return words_of(_UNIT.sub("", heading))


def _guessed(plain: str) -> Column | None:
    return _BY_WORD.get(plain)


_BY_WORD = {words_of(word): column for column, words in _WORDS.items() for word in words.split(",")}
