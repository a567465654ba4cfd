"""Everyday words for places on the body in German, French, Spanish, Italian, Portuguese and Swedish, from memory.

Only words that are sure: what may mean two places has a notion of its own and is asked ("Knöchel"). Lines as in the
English list. Swedish and German words may carry an ending.
"""

GERMAN = """
forearm: unterarm
upper-arm: oberarm
arm: arm, arme, armen
bicep: bizeps
tricep: trizeps
wrist: handgelenk
hand: hand, hände
hand-back: handrücken
palm: handfläche, handinnenfläche, handteller
finger: finger, daumen
elbow: ellbogen, ellenbogen
elbow-ditch: ellenbeuge, armbeuge
shoulder: schulter
shoulder-blade: schulterblatt
back: rücken
spine: wirbelsäule
tailbone: steiß, steißbein
chest: brust
sternum: brustbein
ribs: rippe, rippen
stomach: bauch, bauchnabel, nabel
stomach-upper: oberbauch
stomach-lower: unterbauch
groin: leiste
hip: hüfte
flank: flanke, taille
buttock: po, hintern, gesäß, pobacke
neck: hals
nape: nacken, genick
throat: kehle
collarbone: schlüsselbein
head: kopf
temple: schläfe
face: gesicht, wange
face~: kinn, stirn
ear: ohr
armpit: achsel, achselhöhle
thigh: oberschenkel
lower-leg: unterschenkel
calf: wade
shin: schienbein
knee: knie
knee-ditch: kniekehle
ankle-or-knuckle: knöchel
ankle: fußknöchel
foot: fuß, füße
instep: fußrücken, spann
sole: fußsohle
heel: ferse
toe: zeh, zehe, zehen
leg: bein
inner: innen, innere, innenseite
outer: außen, äußere, außenseite
front: vorne, vorn, vordere, vorderseite
behind: hinten, hintere, hinter, hinterm, hinterseite, rückseite
upper: oben, obere
lower: unten, untere
side: seite, seitlich
full: ganze
left: links, linke, li
right: rechts, rechte, re
centre: mittig
both: beide
"""
SWEDISH = """
underarm: underarm
forearm: underarmen, underarmens
upper-arm: överarm
arm: arm, armen
wrist: handled
hand: hand, handen
hand-back: handrygg
palm: handflata
finger: finger, tumme
elbow: armbåge
elbow-ditch: armveck
shoulder: axel
shoulder-blade: skulderblad
back: rygg
lower-back: ländrygg
spine: ryggrad
chest: bröst
sternum: bröstben
ribs: revben
stomach: mage, magen, navel
groin: ljumske
hip: höft
flank: midja
buttock: skinka, rumpa
neck: hals
nape: nacke, nacken
collarbone: nyckelben
head: huvud
temple: tinning
face: ansikte
face~: haka, panna
ear: öra, örat
armpit: armhåla
thigh: lår, låret
calf: vad, vaden
shin: smalben
knee: knä, knät, knäet
knee-ditch: knäveck
ankle: ankel, fotled
foot: fot, foten
instep: fotrygg
sole: fotsula
heel: häl, hälen
toe: tå, tår
inner: insida, insidan, inre
outer: utsida, utsidan, yttre
front: framsida, framsidan
behind: baksida, baksidan, bakom
side: sida, sidan, sidor, sidorna
upper: övre
lower: nedre
full: hela
left: vänster
right: höger
both: båda
"""
FRENCH = """
forearm: avant bras, avantbras
arm: bras
bicep: biceps
tricep: triceps
wrist: poignet
hand: main
palm: paume
finger: doigt, doigts, pouce
elbow: coude
ditch: pli, creux
shoulder: épaule
shoulder-blade: omoplate
back: dos
spine: colonne, colonne vertébrale
chest: poitrine, pectoral, pectoraux
sternum: sternum
under-breast: sous seins, sous poitrine
ribs: côtes
stomach: ventre, nombril
stomach-lower: bas ventre
groin: aine
hip: hanche
flank: flanc, taille
buttock: fesse, fesses
neck: cou
nape: nuque
throat: gorge
collarbone: clavicule
head: tête
temple: tempe
face: visage, joue
face~: menton
ear: oreille
armpit: aisselle
thigh: cuisse
calf: mollet
shin: tibia
knee: genou
ankle: cheville
foot: pied
instep: dessus pied
sole: plante pied
heel: talon
toe: orteil, orteils
leg: jambe
inner: intérieur, intérieure, interne
outer: extérieur, extérieure, externe
front: avant, devant
behind: arrière, derrière
upper: haut, supérieur, supérieure
lower: bas, inférieur, inférieure
side: côté
full: complet, entier
left: gauche
right: droit, droite
centre: centre
"""
SPANISH = """
forearm: antebrazo
arm: brazo
bicep: bíceps
tricep: tríceps
wrist: muñeca
hand: mano
palm: palma
finger: dedo, dedos, pulgar
elbow: codo
shoulder: hombro
shoulder-blade: omóplato, omoplato, escápula
back: espalda
lower-back: lumbar
spine: columna
chest: pecho
sternum: esternón
ribs: costilla, costillas
stomach: abdomen, vientre, barriga, ombligo
groin: ingle
hip: cadera
ribs-or-flank: costado
flank: cintura
buttock: glúteo, nalga
neck: cuello
nape: nuca
throat: garganta
collarbone: clavícula
head: cabeza
temple: sien
face: cara, rostro, mejilla
ear: oreja
armpit: axila
thigh: muslo
calf: pantorrilla, gemelo
shin: espinilla
knee: rodilla
ankle: tobillo
foot: pie
instep: empeine
sole: planta pie
heel: talón
toe: dedo pie
leg: pierna
inner: interior, interno, interna, cara interna, cara interior
outer: exterior, externo, externa, cara externa, cara exterior
front: frontal, delantera, delantero
behind: trasera, trasero, detrás
upper: superior, alta, alto
lower: inferior, baja, bajo
full: completa, entera
dorsal: dorso
left: izquierdo, izquierda, izquierdas, izquierdos
right: derecho, derecha, derechas, derechos
centre: centro
"""
ITALIAN = """
forearm: avambraccio
arm: braccio
bicep: bicipite
tricep: tricipite
wrist: polso
palm: palmo
finger: dito, pollice
elbow: gomito
shoulder: spalla
shoulder-blade: scapola
back: schiena
lower-back: lombare
spine: colonna
chest: petto
sternum: sterno
ribs: costole, costola, costato
stomach: pancia, addome, ombelico
groin: inguine
hip: anca
hip-or-flank: fianco
buttock: gluteo, sedere, chiappa
neck: collo
throat: gola
collarbone: clavicola
head: testa
temple: tempia
face: viso, faccia, guancia
ear: orecchio, orecchie
armpit: ascella
thigh: coscia
calf: polpaccio
shin: stinco
knee: ginocchio
ankle: caviglia
foot: piede
instep: collo piede
sole: pianta piede
heel: tallone
toe: dito piede
leg: gamba
inner: interno
outer: esterno, esterna
front: anteriore, davanti
behind: posteriore, dietro, retro
upper: superiore, alta
lower: inferiore, bassa, basso
full: intera
left: sinistro, sinistra
right: destro, destra
"""
PORTUGUESE = """
forearm: antebraço
arm: braço
wrist: pulso, punho
hand: mão
finger: polegar
elbow: cotovelo
shoulder: ombro
shoulder-blade: omoplata
back: costas
lower-back: lombar
spine: coluna
chest: peito
ribs: costela, costelas
stomach: abdômen, umbigo
groin: virilha
hip: quadril
buttock: bunda, nádega
neck: pescoço
head: cabeça
temple: têmpora
face: bochecha
face~: queixo
ear: orelha
thigh: coxa
calf: panturrilha, batata perna
shin: canela
knee: joelho
ankle: tornozelo
foot: pé
instep: peito pé
sole: sola pé, planta pé
heel: calcanhar
toe: dedo pé
leg: perna
inner: dentro
outer: fora
front: frente
behind: trás, atrás, traseira
upper: cima
lower: baixo
left: esquerdo, esquerda
right: direito, direita
"""
# Words that are endings away from those above in running text.
ENDINGS = ("s", "e", "n", "t", "r", "m", "er", "es", "en", "em", "et", "ens", "ets", "ar", "arna")
FILLERS = (
    "der die das den dem des im am auf vom la le les du de d au aux sur el los las del da do das della dello "
    "delle dei di il lo av pa i zona parte teil zone um uma un une una ein eine en"
)
