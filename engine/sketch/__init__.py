"""The sketch notation: a boat in a few lines of text, both ways. For tests, reports, the command line and pasting.

One statement a line. `#` at the start of a word begins a comment. Texts with blanks stand in double quotes, in which
\\" \\\\ \\n \\r \\t are escapes. `?` is unknown, `150..175` a range, flags are yes and no. An indented line
belongs to the line above: a way of a panel, or further key=value pairs. Order between statements is free. Sheets are
not written.

    boat "Cruiser" rules=us,iso fuel=diesel engine=inboard units=us      # the particulars, by their field names
    revision A date=2026-05-01 by="R. Thorne" text="First issue"
    space engine "Engine space" kind=engine petrol_vapour=no ambient_c=50 outline_m=0,0;3,0;3,2
    box panel "Hinged panel" opens=hand ac_guard=tool partition=yes @saloon
    option heater "Heater" needs=second_battery excludes=stove

A part: designation, kind, then in any order "label", values, @space, in=box, opt=option, note="...". Values that are
not said have the default of the device file; x=? says that even that is unknown. A bare 100 A is rating_a, and
100/150 A is rating_a and holder_largest_a. The designation of a part that has none is ~1, ~2 ...; a second part that
carries F3 as well is F3~2.

    G1 battery "House" nominal_v=12 capacity_ah=100 cca_a=800 @engine
    F1 fuse_bolt 100 A in=panel
    F2 fuse_bolt 150..175 A
    A1 dc_panel "DC panel" bus_a=100
      1 breaker 10 A "Cabin lights"                   # key, device, rating, then "label" and the words below
      2 fuse 5/20 A "Stereo" may-stay-on              # fuse fitted / largest the holder accepts
      3 breaker 15 A 2P 30 mA "Outlets"               # poles; trip current of its residual-current element
      4 fuse ?/20 A spare                             # spare, prepared or blank; interrupting_a=5000
      5 blank

A run: number, colon, port - port, poles, then in any order size, colours (IEC 60757, one per pole), length, temperature
of the insulation, cover, build, and pairs. Length is one way unless it says round-trip or basis=? ; m, cm, mm, ft, in.
Poles are those both ports carry when they are not said. A panel's way may be written A1.1 for A1.p1. A run without a
number is `~:`, a second one with the number W1 is `W1~2:`.

    W1: G1.pos - F1.a + 2/0 AWG RD 7 in sheath 105 C tinned via=engine bundled=2
    W2: A1.p1 - E1.supply +- 14 AWG RD,YE 6 m sheath
    W3: G1.pos - M1.pos + 2/0 AWG RD 1.2 m cranking "Start cable"
    W4: X1.boat - A2.feed L,N,PE 10 AWG BK,WH,GN 2.6 m pe="12 AWG" opt=shore note="to be identified"
      # cover: open sheath conduit enclosure; build: tinned bare, stranded solid

    condition anchor "At anchor" Q1=on E1=0.5         # where a switch stands, how hard a load works
    evidence G1.capacity_ah measured 92 by="R. Thorne" date=2026-05-01 note="..."
    evidence W1:length_m label 2.4                    # a wire: number:field
    evidence A1.1.rating_a nameplate 10               # a way: part.key.field

    answer battery-hold-down G1 yes by="R. Thorne" date=2026-05-01
    answer sheath-exit W4: 500                        # a wire; @boat, and @class:dc for a class of runs
    deviation untinned-conductor W4: code=bare reason="dry saloon" by="R. Thorne" date=2026-05-01   # A1.3: a way
    house "Quillan Bay" sizes="14 AWG","12 AWG" sizes_reason="on the shelf"   # house-limit …, see engine/sketch/house.py
"""

from engine.sketch.reader import read_sketch
from engine.sketch.tokens import SketchError, SketchProblem
from engine.sketch.writer import write_sketch

__all__ = ["SketchError", "SketchProblem", "read_sketch", "write_sketch"]
