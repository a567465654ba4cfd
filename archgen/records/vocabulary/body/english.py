"""English words for places on the body and for where on them: trade words and everyday ones.

Common practice, no source; the anatomical words by the standard anatomical position, from memory. Each line gives a
notion and the words for it, those of several words as well. A notion with "~" behind it is less than its place: what
was written is kept beside the place.
"""

PLACE_WORDS = """
scalp: scalp, skull
crown: crown
temple: temple, temples
face: face, cheek, cheeks, cheekbone, cheekbones, cheek bone
face~: chin, forehead, jaw, jawline, jaw line, eyebrow, brow, lip, lips, nose
head: head
ear: ear, ears, earlobe, ear lobe, helix
neck: neck
throat: throat
nape: nape
collarbone: collarbone, collarbones, collar bone, collar bones, clavicle, clavicles
chest: chest, pec, pecs, pectoral, pectorals, chest piece, chestpiece
breast: breast, breasts, boob, boobs
sternum: sternum, breastbone, breast bone
under-breast: underboob, underboobs, sideboob
ribs: rib, ribs, ribcage, rib cage, ribcages
stomach: stomach, belly, tummy, abdomen, abs, navel, belly button, bellybutton
groin: groin, bikini line, bikini
flank: flank, waist, love handle, love handles, oblique, obliques
hip: hip, hips, hip bone, hipbone
torso: torso, trunk
back: back
full-back: backpiece, back piece
shoulder-blade: shoulder blade, shoulder blades, shoulderblade, shoulderblades, scapula, scapulas, scapulae
spine: spine, backbone
tailbone: tailbone, tail bone, coccyx
lat: lat, lats
trap: trap, traps, trapezius
buttock: buttock, buttocks, butt, butts, bum, ass, arse, glute, glutes, gluteal, butt cheek, butt cheeks, buttcheek,
 buttcheeks, bum cheek, bum cheeks, ass cheek
shoulder: shoulder, shoulders, shoulder cap, cap, deltoid, deltoids, delt, delts
armpit: armpit, armpits, arm pit, axilla
underarm: underarm, underarms
arm: arm, arms
upper-arm: upper arm, upper arms
bicep: bicep, biceps
tricep: tricep, triceps
elbow: elbow, elbows
elbow-ditch: antecubital fossa
forearm: forearm, forearms, fore arm, lower arm, lower arms
wrist: wrist, wrists
hand: hand, hands
palm: palm, palms
finger: finger, fingers, thumb, thumbs, knuckle, knuckles, pinky, pinkie
webbing: webbing, webbings
sleeve: sleeve, sleeves
arm-sleeve: arm sleeve
leg-sleeve: leg sleeve
half-sleeve: halfsleeve
leg: leg, legs
thigh: thigh, thighs, upper leg, upper legs
quad: quad, quads, quadriceps
hamstring: hamstring, hamstrings
knee: knee, knees, kneecap, kneecaps, knee cap
knee-ditch: popliteal fossa
lower-leg: lower leg, lower legs
shin: shin, shins, shinbone, shin bone
calf: calf, calves, calfs
ankle: ankle, ankles
foot: foot, feet
instep: instep
sole: sole, soles
heel: heel, heels, achilles, achilles tendon
toe: toe, toes
ditch: ditch, pit, crook, crease
"""
ASPECT_WORDS = """
inner: inner, inside, innerside, insides
outer: outer, outside, outerside, exterior
front: front, front side, frontside
behind: behind
top: top, topside
bottom: bottom, underside, under side, underneath, under
upper: upper, up
lower: lower, low
side: side, sides
full: full, whole, entire, complete
half: half
quarter: quarter, 1 4
three-quarter: three quarter, three quarters, 3 4
between: between
above: above
below: below
middle: middle, mid
small: small
volar: volar, ventral, palmar, palm side
dorsal: dorsal, dorsum
anterior: anterior
posterior: posterior
medial: medial
lateral: lateral
plantar: plantar
"""
SIDE_WORDS = """
left: left, l, lt, lft, left hand side, lefthand side
right: right, r, rt, rgt, right hand side, righthand side
centre: centre, center, central, centred, centered
both: both, each
"""
# Words that narrow a place further than the list does.
CLOSER_WORDS = "ring, index, middle, big, little, small, pointer"
FILLERS = "the, my, his, her, their, on, of, in, at, a, an, area, region, part, down, along, tattoo"
# Passed over where it closes no name of its own ("back piece").
PIECE = "piece"
DENIALS = "not, except, without, nicht, kein, pas, sans, sin, non, senza, nao, sem, inte, utan"
