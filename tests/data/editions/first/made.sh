#!/usr/bin/env bash
# How the files of this folder were made, by the program of the first edition. They are never made
# anew: a later edition reads them as they are.
# Usage: bash made.sh THINCUT FOLDER       (needs curl; FOLDER is made and must not exist)
set -euo pipefail
thincut=$(realpath "$1")
mkdir "$2" && cd "$2"
unset THINCUT_GEAR THINCUT_UNITS THINCUT_LOG
export XDG_CONFIG_HOME=$PWD/none
log() { "$thincut" log "$@" --log practice.sqlite; }

# ── tables ──
"$thincut" gear show pool-9ft >whole.toml
"$thincut" gear show snooker-12ft --set cushion.restitution=0.8 --set pocket.corner.mouth=87mm >changed.toml
"$thincut" gear measure --corner-mouth "108.5mm, 108mm, 107.5mm" --corner-throat 97.5mm --corner-shelf 41mm \
  --side-gap 6mm --ball-weight 166g --lag "3.2m 8.1s" --run "4.2lengths 8.9s" \
  --throw "half-ball 1m 48mm 1.5m/s" --good-to rule=0.5mm --date 2025-11-25 --name hall --out hall.toml >/dev/null
cat >evening.toml <<'END'
# Millpond Hall, table 2: tight corners, a slow cloth.
name = "evening"
base = "hall.toml"

[cloth]
rolling_friction = 0.012

[pocket.corner]
mouth = "4 1/4 in"
END
"$thincut" gear measure --form >empty-form.toml
cat >form.toml <<'END'
name = "table-3"
base = ""
date = "2025-11-25"

[ball]
diameter = "57.1mm"

[corner]
mouth = "116mm, 115.5mm"

[strokes]
lag = "3.2m 8.1s, 2.8m 7.6s"

[good-to]
rule = "0.5mm"
END
cat >marks.toml <<'END'
name = "my marks"
[[offset]]
cut = "0deg"
aim = "0mm"
[[offset]]
cut = "30deg"
aim = "28mm"
[[offset]]
cut = "60deg"
aim = "2in"
END

# ── layouts ──
cat >words.csv <<'END'
# Millpond Hall, third rack of the evening: student K to play.
# Diamonds: x from the head rail (0 to 8), y from the right rail (0 to 4).
ball,x,y
cue,2,1
3,5.5,2.5
7,frozen-foot,30in
9,50cm,3.5
8,foot-spot
END
# As the page saves it.
printf 'ball,x,y\ncue,3.217,2.3\n1,6,2.6\n5,4.4,3.5\n7,7.2,0.8\nnine,5,0.6\n' >page.csv

# Where those balls lie, mm from the head and the right rail, worked out by hand: a diamond is 317.5 mm, and
# a ball frozen to a rail touches it 0.135 balls above its middle.
cat >places.csv <<'END'
file,ball,x_mm,y_mm
words.csv,cue,635,317.5
words.csv,3,1746.25,793.75
words.csv,7,2512.4862662941307,762
words.csv,9,500,1111.25
words.csv,8,1905,635
page.csv,cue,1021.3975,730.25
page.csv,1,1905,825.5
page.csv,5,1397,1111.25
page.csv,7,2286,254
page.csv,nine,1587.5,190.5
END

# ── lessons ──
"$thincut" lesson new --student K=starting --topic thin-cuts --out lesson.toml >/dev/null
"$thincut" lesson new --group K=first-evening,L=0.4deg/3mm,M=starting,N=club --tables 2 --minutes 90 \
  --topic mixed --units inches --gear whole.toml --out group.toml >/dev/null

# ── the log ──
log students set K --hand left --reach 700mm >/dev/null
for s in L M N P S; do log students set "$s" >/dev/null; done
log students set Q --hand right >/dev/null
log students set Q --hand left --reach 31in >/dev/null
log add "K 6/10 thin 3, L 4/10 full 2 scratch 1 unseen 1" --cut half-ball --apart 4ft --to-pocket 3ft \
  --when 2025-10-07 --session "first Tuesday" --note 'chalky, "warm" hall; café' >/dev/null
log add "M 0/5 short 2, N 5/5" --cue 3,1 --object 5,2.4 --pocket foot-left --hit stun --side 0.25 --pace firm \
  --bridge 30cm --when 2025-10-07T19:30:05.125+02:00 >/dev/null
log add "K 3/10" --cut 62deg --apart 60cm --to-pocket 800mm --approach=-8deg --kind side --cut-side right \
  --roll 0.4 --pace 1.5m/s --gear snooker-12ft --when 2025-10-14 >/dev/null
log add "P 7/10 full 1" --cue 50in,40cm --object foot-spot --pocket head-right --hit draw \
  --set ball.contact.friction_scale=0.5 --set pocket.corner.mouth=4.5in --when 2025-10-14 --note '=1+1' >/dev/null
log add "Q 2/10 thin 6, P 2/10" --cue 3,1 --object 5,2.4 --pocket foot-left --stroke 2lengths --gear hall.toml \
  --when 2025-10-21 >/dev/null
# Played with the windows it has: a shot that nobody can make.
log add "N 0/3" --cue 1,1 --object 7,3.9 --pocket head-right --when 2025-10-21 >/dev/null
ladder=$("$thincut" ladder --level starting --rungs 4 --from 8 --to 4 --keep --log practice.sqlite --format json | sed -n 's/.*"code": *"\([^"]*\)".*/\1/p' | head -1)
marks=$("$thincut" ladder marks --students K=first-evening,L=starting,N=club --chance 6 --keep --log practice.sqlite --format json | sed -n 's/.*"code": *"\([^"]*\)".*/\1/p' | head -1)
"$thincut" sheet lesson lesson.toml --keep --log practice.sqlite --out lesson.pdf >kept-lesson.txt 2>&1
lesson=$(grep -o '\b[A-Z0-9]\{5\}\b' kept-lesson.txt | head -1)
rm -f lesson.pdf kept-lesson.txt
log enter "$ladder" "1: K 8/10, L 7/10 thin 2; 3: K 4/10 full 1 thin 1" --when 2025-11-04 --session "tuesday" >/dev/null
log enter "$marks" "K 5/10, L 6/10 full 2, N 7/10" --when 2025-11-04 >/dev/null
log enter "$lesson" "1: K 5/10; 2: K 6/10 thin 2" --when 2025-11-11 >/dev/null
cat >by-hand.csv <<'END'
student,when,gear,cut,apart,to_pocket,cut_direction,tries,made,thin
K,2025-11-18,pool-9ft,half-ball,4ft,3ft,,10,6,3
R,2025-11-18,pool-9ft,half-ball,4ft,3ft,,10,6,
K,2025-11-18,pool-9ft,half-ball,4ft,3ft,left,10,6,3
END
log import by-hand.csv >/dev/null
log add "S 9/10" --cut 10deg --apart 1ft --to-pocket 1ft --when 2025-11-18 >/dev/null
log undo >/dev/null
# Two touches at the table, and the page ended by force with them in the journal only.
"$thincut" explore --log practice.sqlite >link.txt 2>/dev/null & page=$!
until link=$(grep -o 'http://[^ ]*' link.txt); do sleep 0.1; done
tap() { curl -sS -H 'Content-Type: application/json' -d "$1" "${link%/}/api/v1/tap" >/dev/null; }
now=$(date +%Y-%m-%dT%H:%M:%S).125$(date +%:z)
tap "{\"code\":\"$ladder\",\"rung\":2,\"student\":\"L\",\"outcome\":\"made\",\"when\":\"$now\"}"
tap "{\"code\":\"$ladder\",\"rung\":2,\"student\":\"L\",\"outcome\":\"thin\",\"when\":\"${now/.125/.375}\"}"
kill -9 $page; wait $page 2>/dev/null || true
rm link.txt
mkdir ended
cp practice.sqlite practice.sqlite-wal ended/

# ── what was in it ──
log export export.csv >/dev/null
log list --format json >list.json
log students --format json >students.json
printf '%s\n' "$ladder" "$marks" "$lesson" >codes.txt
rm -f practice.sqlite-wal practice.sqlite-shm
"$thincut" ladder --level starting --rungs 3 --from 8 --to 4 --format json >ladder.json
"$thincut" ladder marks --students K=starting,L=club --tables 1 --minutes 20 --format json >marks.json

# ── what the page keeps: links, and tries that wait in a phone ──
# `shot` is what the page made of the link (fromAddress and shotBody of src/page/assets/state.js).
cat >links.jsonl <<'END'
{"link":"?cue=3,2.3&object=6,2.6&pocket=foot-left&level=club","shot":{"cue":"3,2.3","object":"6,2.6","pocket":"foot-left","level":"club","hand":"right","called":"1"}}
{"link":"?cue=3.217,2.3&object=6,2.6&pocket=foot-left&pace=1.5m/s&hit=stun&side=0.25&bridge=30cm&arm=0.3deg&picture=4mm&called=3&hand=left&reach=700mm&ball=5,4.4,3.5&ball=nine,5,0.6&set=ball.contact.friction_scale%3D0.5&set=pocket.corner.mouth%3D4.5in&map=1&snap=1","shot":{"set":["ball.contact.friction_scale=0.5","pocket.corner.mouth=4.5in"],"cue":"3.217,2.3","object":"6,2.6","pocket":"foot-left","hit":"stun","pace":"1.5m/s","side":"0.25","bridge":"30cm","arm":"0.3deg","picture":"4mm","called":"3","hand":"left","reach":"700mm","balls":["5,4.4,3.5","nine,5,0.6"]}}
{"link":"?cue=1,1&object=4,2&pocket=side-right&roll=0.4&student=K&gear=snooker-12ft&seated=1&view=shots","shot":{"gear":"snooker-12ft","cue":"1,1","object":"4,2","pocket":"side-right","roll":"0.4","student":"K","hand":"right","seated":true,"called":"1"}}
{"link":"?cue=2,1&object=5,2&pocket=foot-left&level=nobody&pace=firm","shot":{"cue":"2,1","object":"5,2","pocket":"foot-left","pace":"firm","hand":"right","called":"1"}}
END
# localStorage of a phone, under the key tally-waiting.
cat >waiting.json <<END
[{"tap":{"code":"$ladder","rung":4,"student":"M","outcome":"made","when":"2025-11-25T19:30:00.125+01:00"}},
 {"tap":{"code":"$ladder","rung":4,"student":"M","outcome":"full","when":"2025-11-25T19:30:09.250+01:00"},"tried":true}]
END

# ── rows of a batch ──
cat >rows.csv <<'END'
id,student,cut,apart,to-pocket,cue,object,pocket,gear,level,hit,pace
1,K,half-ball,4ft,3ft,,,,,,,
2,L,75deg,8ft,5ft,,,,,club,stun,firm
3,M,,,,"3,1","5,2.4",foot-left,hall.toml,,,
4,N,,,,"1,1","7,3.9",head-right,,,,
5,"P, Q",15deg,2ft,3ft,,,,snooker-12ft,expert,,1.5m/s
6,R,15deg,2 ells,3ft,,,,,,,
END
"$thincut" batch rows.csv --level starting >answers.csv || true
"$thincut" batch rows.csv --level starting --format jsonl >answers.jsonl || true

# ── values of the tables ──
for file in whole changed hall evening; do "$thincut" gear show $file.toml --format json >$file.json; done
"$thincut" gear measure form.toml --name measured --out measured.toml >/dev/null
"$thincut" aims --ways own --own marks.toml --cut 30deg --apart 3ft --to-pocket 3ft --format json >marks-aims.json

# ── what somebody has set for themselves, last: it would change all the others ──
mkdir defaults
cat >defaults/thincut.toml <<'END'
gear = "table.toml"
units = "inches"
END
cp hall.toml defaults/table.toml
(cd defaults && "$thincut" shot --cut half-ball --apart 4ft --to-pocket 3ft --format json >shot.json)
rm -rf none
