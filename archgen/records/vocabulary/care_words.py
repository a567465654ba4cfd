"""Words by which a note is weighed: what went wrong or needed care, and what says nothing. Common practice, no source.

A word with a star stands for all that begin so; Japanese, which has no spaces, is found anywhere.
"""

import re
from collections.abc import Iterable
from functools import cache

_CARE = {
    "en": """
        bled bleed* blood* blew blowout* blown slow* sore* reddened redness rash* wound* allerg* react* plaster* latex
        itch* swell* swoll* raised scab* infect* weep* ooz* scar* keloid* faint* dizz* sick pain* hurt* tender*
        sensitive tough thin* fragile rested break breaks pause* stop* twitch* move* moving shak* sweat* cold lie lay
        lying pillow* numb* slip* smear* smudg* crooked skew* patch* fade* fell pale "light on" careful* caution*
        avoid* medication pregnan* diabet* touch-up*
        """,
    "de": """
        blut* langsam* wund* "wurde rot" rötung* gerötet* ausschlag* allerg* reag* pflaster* latex juck* schwell*
        geschwoll* schorf* infekt* entzünd* nässt* narb* ohnm* schwind* übel* schmerz* empfindlich* dünn* zäh* pause*
        rast abgebrochen aufgehört zuck* beweg* zitter* schwitz* kalt* lieg* hinlegen taub* verrutsch* verschmier*
        verlauf* ausgelaufen schief* fleckig* blass* verblass* vorsicht* nachstech* medikament* schwanger* diabet*
        """,
    "fr": """
        saign* sang lent* rougeur* rougi* éruption* allerg* réag* pansement* latex démang* gratt* gonfl* enfl* croût*
        infect* suint* cicatrice* malaise* vertig* évanou* nausé* douleur* mal sensible* fragile* mince* pause* arrêt*
        trembl* boug* transpir* froid* allong* couch* engourd* gliss* bav* étal* "de travers" tordu* pâl* tach*
        prudence attention éviter retouch* médicament* enceinte diabèt*
        """,
    "es": """
        sangr* lent* enrojec* erupci* alerg* reacc* tirita* esparadrapo* látex picaz* picor* hincha* costra* infec*
        supur* cicatriz mare* desmay* náuse* dolor* duele* dolió sensible* frágil* pausa* descans* paró parar* tembl*
        movió mueve* sudor sudaba frío tumb* acost* dormid* desliz* corrid* torcid* pálid* mancha* cuidado precauci*
        evitar retoqu* medicament* medicación embaraz* diabet*
        """,
    "sv": """
        blöd* långsam* öm* rodnad* utslag* allerg* reag* plåster* latex kliar* kliade klåda svull* sväll* skorp*
        infekt* vätsk* ärr* svimm* yr yrsel illamå* smärt* "gör ont" känslig* tunn* skör* paus* vila* avbröt* ryck*
        rör* skak* svett* kall* ligg* låg lägg* domna* gled* smet* flöt sned* blek* fläck* försiktig* undvik* bättr*
        medicin* gravid* diabet*
        """,
    "ja": """
        出血 血 にじ 滲 遅 痛 赤み 発疹 アレルギー 反応 絆創膏 ラテックス かゆ 痒 腫 かさぶた 感染 化膿 傷 めまい 気分
        失神 敏感 薄 休 中断 動 震 汗 寒 横 しびれ ずれ 曲が むら 色抜け 注意 避け 薬 妊娠 糖尿 リタッチ
        """,
}
_NOTHING = {
    "en": """
        line* outline* shad* black colour* color* fill* detail* done finish* all fine good well ok okay nice nothing
        more to do healed heal* settled settle* evenly even clean* first second third last sitting session part one
        two three four both and the it as usual everything went
        """,
    "de": """
        linie* kontur* outline* schatt* schwarz farbe* füll* detail* fertig alles gut schön ok passt sauber nichts
        mehr zu tun abgeheilt verheilt geheilt gleichmäßig erste zweite dritte letzte sitzung teil und die der das wie
        immer
        """,
    "fr": """
        ligne* trait* contour* ombr* noir couleur* rempliss* détail* fini* terminé* tout bien bon ok propre rien à
        faire de plus cicatrisé* guéri* premi* deuxième dernière séance partie et le la les comme va
        """,
    "es": """
        línea* contorno* sombr* negro color* relleno* detalle* hecho terminad* acabad* todo bien bueno ok limpio nada
        más que hacer curad* cicatrizado sanad* primer* segund* última sesión parte y el la los las como
        """,
    "sv": """
        linje* kontur* skugg* svart färg* fyll* detalj* klar* färdig* allt bra fint ok ren* inget mer att göra läkt*
        läkte första andra tredje sista sittning* session del och som gick
        """,
    "ja": "線 ライン 筋彫り ぼかし 影 黒 色 完了 終了 問題なし 良好 順調 完治 治癒 特になし",
}
_WORD = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*|\d+")
_WORDLESS = "ja"


def needs_care(note: str) -> bool:
    """Say whether a note tells of something that went wrong or needed care, in any of the languages."""
    return bool(_pattern("care").search(note)) or any(word in note for word in _CARE[_WORDLESS].split())


def says_nothing(note: str) -> bool:
    """Say whether a note tells no more than that work was done, or that all is well."""
    rest = note
    for word in _NOTHING[_WORDLESS].split():
        rest = rest.replace(word, " ")
    return not needs_care(note) and all(_pattern("nothing").fullmatch(word) for word in _WORD.findall(rest))


@cache
def _pattern(which: str) -> re.Pattern[str]:
    listed = {"care": _CARE, "nothing": _NOTHING}[which]
    words = [word for language, text in listed.items() if language != _WORDLESS for word in _words(text)]
    return re.compile(rf"\b(?:{'|'.join(words)})\b", re.IGNORECASE)


def _words(text: str) -> Iterable[str]:
    """Give the words of a list as patterns; several in quotes are one."""
    for phrase, word in re.findall(r'"([^"]+)"|(\S+)', text):
        yield re.escape(phrase) if phrase else re.escape(word).replace(r"\*", r"\w*")
