"""A small problem folder that tests change one thing in."""

from __future__ import annotations

from pathlib import Path

SETTINGS = """\
format = 1
name = "Workshop trailer"

[system]
nominal = "12 V"
running = "13.6 V"
lowest = "11.5 V"
ambient = "42 degC"
altitude = "100 m"
conditions = ["day", "night"]

[[sources]]
name = "battery"
place = "battery box"
supply = {day = "30 A"}
capacity = "100 Ah"

[[sources]]
name = "second battery"
place = "bench"

[margins]
bundle = "none"
robust = 1

[objective]
unit_mass = 0.5

[wire]
file = "ours.csv"
feed_table = "metric battery cable"
sizes = ["1 mm2", "2.5 mm2"]
smallest = "0.75 mm2"

[[unit_types]]
name = "6-way"
mass = "0.3 kg"
continuous = "60 A"
hot = [["60 degC", 1.0], ["85 degC", 0.7]]
sealed = true
banks = [{name = "left", continuous = "30 A"}, {name = "right", continuous = "25 A"}]
outputs = [
  {class = "heavy", bank = "left", pins = ["H1", "H2"], continuous = "20 A", peaks = [["60 A", "0.2 s"]],
   retries = 2, wire = ["1 mm2", "6 mm2"], trip_step = "1 A", capabilities = ["dim"], parallel = 2,
   parallel_use = 0.85},
  {class = "light", bank = "right", pins = ["L1", "L2", "L3"], continuous = "8 A",
   wire = ["20 AWG", "2.5 mm2"], trips = ["8 A", "3 A", "5 A"], capabilities = ["dim", "bridge"]},
]

[[units]]
name = "front"
type = "6-way"
sites = ["bench", "battery box"]
spare = {light = 1}
spare_current = "2 A"

[[units]]
name = "rear"
type = "6-way"
sites = ["rear door"]
source = "second battery"
fit = "if needed"

[[bulkheads]]
name = "floor"
kind = "gland"
contacts = [{count = 8, wire = ["0.5 mm2", "2.5 mm2"], continuous = "13 A", resistance = "5 mohm"}]
studs = 1

[[functions]]
name = "light"
loads = ["work lamp"]
survive = 1
against = ["unit", "output"]
"""
LOADS = """\
load,place,current,kind,quantity,needs,share,max_drop,return,lead,stall,unit,output,day,night,colour
work lamp,rear door,4 A,,2,dim,lamps,3 %,source,0.2 m,,,,0,50 %,red
vice heater,bench,60 W,resistive,,,,5 %,bench,,,,,yes,no,
pump,rear door,57.5 W,motor,,bridge,,,,,20 A,front,L1,1,1,blue
"""
PLACES = """\
place,x [m],y [m],z [m],ambient [degC],wet,stud [A],units,remark
battery box,0,0,0,40,no,100,1,
bench,1,0,0.5,,no,,2,by the vice
rear door,3,-1,0.5,35,yes,20,,
"""
SEGMENTS = """\
from,to,length [mm],ambient,bulkhead,insulation,note
battery box,bench,1200,,,,
bench,rear door,2500,50 degC,floor,105 degC,clip
"""
RUNS = "load,site,length\nwork lamp,bench,2.8 m\npump,battery box,0 m\n"
WIRES = """\
size,area [mm2],insulation [degC]
2.5 mm2,2.5,105
0.5 mm2,0.5,105
1 mm2,1,105
1 mm2,1,125
"""
FILES = {
    "problem.toml": SETTINGS,
    "loads.csv": LOADS,
    "places.csv": PLACES,
    "segments.csv": SEGMENTS,
    "runs.csv": RUNS,
    "ours.csv": WIRES,
}


def written(folder: Path, **changed: str | bytes | None) -> Path:
    """Write the folder; ``changed`` replaces a file by its name without the ending, None leaves it out."""
    names = {name.split(".")[0]: name for name in FILES}
    contents: dict[str, str | bytes | None] = {names[key]: text for key, text in changed.items()}
    for name, text in {**FILES, **contents}.items():
        if isinstance(text, str):
            text = text.encode()
        if text is not None:
            (folder / name).write_bytes(text)
    return folder
