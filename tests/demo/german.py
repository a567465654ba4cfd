"""What the demo says in German: the pages, and the titles and stories of some pieces; the others stay in English."""

ABOUT = """# Über mich

Ich zeichne mit Nadeln, meist in Schwarz und Grau: Pflanzen, Vögel, Boote, den Mond. Ein Raum über einem Netzboden, ein
Stuhl, ein Mensch am Tag.

Zeichnen gelernt habe ich in einem Herbarium. Dort habe ich Farne für einen Professor aufgezogen, der nicht mehr gut
sah und sie beschrieben haben wollte. Bis heute beginne ich jedes Stück damit, es laut zu beschreiben.

Was du hier siehst, ist abgeheilt, wo immer ich das Foto machen konnte. Frische Tattoos schmeicheln. Abgeheilte sagen
die Wahrheit.
"""
CARE = """# Die ersten vier Wochen

So bitte ich dich, ein neues Tattoo zu pflegen. Was deine Ärztin oder dein Arzt sagt, geht vor.

1. Lass die Folie so lange drauf, wie ich es dir auf die Karte geschrieben habe.
2. Wasch es mit lauwarmem Wasser und sauberen Händen, tupf es mit frischem Papier trocken. Zweimal am Tag reicht.
3. Ein wenig Creme, so dünn, dass die Haut noch trocken aussieht.
4. Es wird sich schuppen. Lass es.
5. Keine Sonne, kein Meer, kein Schwimmbad, keine Sauna, bis es nicht mehr glänzt.

Rötung, die sich ausbreitet, Hitze, Fieber, Eiter oder ein Ausschlag, der wiederkommt: Geh zuerst in eine Arztpraxis und
schreib mir danach.

Nach vier bis sechs Wochen möchte ich es gern sehen. Hat eine Linie nicht gehalten, kostet das Nachstechen innerhalb von
sechs Monaten nichts.
"""
BOOKING = """# Termine

Für **Februar und März** ist noch Platz. Schreib an <studio@example.org> und sag mir:

- was du möchtest, in deinen eigenen Worten
- wo am Körper, links oder rechts, und wie groß in Zentimetern
- ein Foto der Stelle, und was daneben frei bleiben muss
- Bilder, die dir gefallen, und woher sie sind: Ich muss fragen, wer sie gemacht hat

Narben, Dehnungsstreifen und alte Tattoos, die überdeckt werden sollen: Schick ein Foto bei Tageslicht und schreib, wie
alt sie sind. Eine Narbe muss blass und zur Ruhe gekommen sein; frag im Zweifel zuerst ärztlich nach.

Ich antworte innerhalb einer Woche. Kleine Stücke dauern einen Nachmittag, größere zwei. Unter achtzehn tätowiere ich
niemanden.

- klein, bis 5 cm: ab 140 EUR
- eine Sitzung: 320 EUR
- zwei Sitzungen: 580 EUR
"""
PAGES = {"about.de.md": ABOUT, "care.de.md": CARE, "booking.de.md": BOOKING}

# By the id of a piece; the heading is its title.
STORIES = {
    "2024-02-17-fern-frond": """# Farn, der sich entrollt

Der Wedel war noch halb eingerollt, als ich ihn im Mai an einem Bach fotografiert habe. Genau diesen Moment wollte sie
behalten: noch nicht offen, ohne Eile.

Einzelne Züge mit einer Dreiernadel, gar keine Schattierung. Die Haut zwischen den Blättchen macht die Arbeit.
""",
    "2024-06-22-peony": """# Pfingstrose, ganz offen

Pfingstrosen halten auf dem Tisch ungefähr eine Woche. Diese ist am Tag gezeichnet, bevor das erste Blatt fällt, wenn
sie für den eigenen Stiel zu schwer ist.
""",
    "2024-09-14-lighthouse": """# Das Licht auf der Schäre

Einen Winter lang hat er als Student das Feuer gehütet, allein mit einem Radio und dem Wetter. Das Foto ist von Runa
Falkensted, die uns danach arbeiten ließ.
""",
    "2025-02-08-barn-owl": """# Schleiereule

Seit drei Sommern wohnt sie in der Scheune hinter ihrem Haus, und so sieht sie jeden an.

Die Brust ist fast leer geblieben. Federn sind dort nur angedeutet, damit das Gesicht das Lauteste bleibt, solange die
Haut hält.
""",
    "2025-12-13-swallow": """# Schwalbe, nach Süden

Sie fliegt nach hinten, so sieht sie sie nie gehen.

Nach einem Foto von Aune Tikkelä (CC BY-SA 4.0), neu gezeichnet und verändert.
""",
    "2026-02-21-long-haired-dog": """# Bruna

Vierzehn Jahre lang hat Bruna auf seinem linken Arm geschlafen. Das tut sie noch.
""",
    "2026-04-11-snake-and-branch": """# Schlange und Ast

Eine Schlange klettert nicht auf einen Ast. Sie wird sich mit ihm einig.
""",
    "2026-05-30-mushrooms": """# Fünf im Moos

Jeden Herbst schickt man die fünf, Cousinen und Cousins, mit einem Korb in den Wald. Voll ist er noch nie
zurückgekommen.
""",
}
