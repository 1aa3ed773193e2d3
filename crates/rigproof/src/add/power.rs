//! The blocks of the power tables.

pub(super) const SITE: &str = r#"[site]
latitude = "?"            # any map: such as "46.5 deg"; south is negative
longitude = "?"           # any map: such as "-79.9 deg"; west is negative
altitude = "?"            # any map: height above the sea
coldest = "?"             # climate table: record low of the coldest place the rig goes to
heading = "?"             # phone compass, set to true north, along the truck as it is parked
# months = ["may", "jun", "jul", "aug", "sep"]   # months in which somebody lives in it; all of them if left out
# horizon = "some-trees"  # open, some-trees, valley or wood
# skyline = [{ bearing = "180 deg", height = "12 deg" }]   # phone level and compass, where trees or hills decide
# weather = "meadow.csv"  # hourly weather file beside this one
# sun = [0.9, 1.8, 3.1, 4.2, 5.2, 5.8, 5.9, 4.9, 3.5, 2.0, 1.0, 0.7]   # kWh/m2 a day on the level, January to December
# driving = "1 h"         # a usual day at the wheel
# snow_cleared = "1 d"    # days until the roof is swept
"#;

pub(super) const POWER: &str = r#"[power]                   # wishes: each has a usual value
# dark_days = 3           # days without sun that the battery is to last
# short_days = 2          # days a month without power that you bear
# short_months = 3        # in so many of ten such months it may be more
# then = "drive"          # what you do then: drive, plug-in or nothing
# cooling_hours = "6 h"   # hours a day of air conditioning from the battery
"#;

pub(super) const PANEL: &str = r#"[[panel]]
name = "another panel"    # a name of its own; a thing told elsewhere is named in  of = "..."
mass = "?"                # scale, before it goes up; or  like = "..."  as `rigproof parts` lists
in = "body"               # counted from inside the body
at = ["?", "?", "?"]      # tape to its middle: back from the front wall, right of the centreline, up from the floor
size = ["?", "?", "?"]    # tape: length along the rig, width, height
rated = "?"               # label on its back: watts
voc = "?"                 # label: Voc, open-circuit voltage
vmp = "?"                 # label: Vmp, voltage at highest power
isc = "?"                 # label: Isc, short-circuit current
imp = "?"                 # label: Imp, current at highest power
voc_change = "?"          # data sheet: temperature coefficient of Voc, such as "-0.28 %/K"
power_change = "?"        # data sheet: temperature coefficient of power, such as "-0.35 %/K"
max_fuse = "?"            # label: maximum series fuse
gap = "?"                 # steel rule from the roof to its lower face
tilt = "?"                # phone level, parked; "0 deg" if it lies flat
# kind = "glass"          # glass or flexible
# mounted = "gap"         # bonded (glued down), gap or open
# cells = 36              # count them; of half-cut ones half their number
# heat_level = 0          # label: level 1 or 2 of IEC TS 63126; 0 if it names none
# count = 2               # so many of them, all alike
# in_series = 2           # so many plus to minus in one string
# controller = "sun controller"        # the controller or portable unit its leads end at
"#;

pub(super) const BATTERY: &str = r#"[[battery]]               # what is said is said of one of them
name = "another battery"  # a name of its own, such as "house"
mass = "?"                # scale; or  like = "..."  as `rigproof parts` lists
in = "body"               # counted from inside the body
at = ["?", "?", "?"]      # tape to its middle: back from the front wall, right of the centreline, up from the floor
voltage = "?"             # label: nominal volts
capacity = "?"            # label: Ah
hour_rate = "?"           # label: the 20 of C20 is "20 h"
max_charge = "?"          # label or data sheet: highest charging current
max_discharge = "?"       # label or data sheet: highest current drawn for long
resistance = "?"          # meter on its posts: volts lost over amperes drawn
cold_protected = "?"      # manual: yes if it refuses charge below 0 °C
temperature = "?"         # thermometer that keeps its lowest reading, in its box over a cold night
vent_low = "?"            # steel rule: open area of the lower vent of its box
vent_high = "?"           # steel rule: open area of the upper vent of its box
# chemistry = "lifepo4"   # flooded, agm, gel, lifepo4 or nmc
# in_series = 2           # so many plus to minus
# in_parallel = 1         # so many rows side by side
# floor = "20 %"          # charge you never go below
# stands = "locker"       # inside, locker or outside
# vents_to = "outside"    # where its box airs to
# serves = "house"        # house or starter
# order = 1               # 1 for the one the sun fills first
"#;

pub(super) const CONTROLLER: &str = r#"[[controller]]
name = "another sun controller"        # a name of its own; panels name it in  controller = "..."
max_voltage = "?"         # plate: highest panel voltage
max_current = "?"         # plate: rated charging current
absorption = "?"          # menu or switch: absorption voltage
headroom = "?"            # manual: volts above the battery at which it charges
own_draw = "?"            # clamp meter on its battery lead at night
# kind = "tracking"       # pwm or tracking (MPPT)
# charges = ["house"]     # the batteries, the one filled first in front
# common_relay = false    # true if a relay ties the batteries it charges
"#;

pub(super) const CHARGER: &str = r#"[[charger]]
name = "another charger"  # a name of its own
current = "?"             # plate: charging current
voltage = "?"             # meter on its output while it charges
efficiency = "?"          # data sheet
# kind = "dc-dc"          # mains, dc-dc or direct (a relay or a cable)
# charges = "house"       # the battery its output leads end at
# from = "alternator"     # alternator, or the name of a battery or an inlet
# ignition_switched = true             # true if it stops with the ignition
"#;

pub(super) const ALTERNATOR: &str = r#"[alternator]
rated = "?"               # plate on its case
voltage = "?"             # meter on the truck's battery, fast idle
idle = "?"                # clamp meter round its cable, hot idle, lights on, battery low
vehicle_loads = "?"       # clamp meter round the truck's feed, hot idle, lights and fan on
"#;

pub(super) const INVERTER: &str = r#"[[inverter]]
name = "another inverter" # a name of its own; loads name it in  through = "..."
continuous = "?"          # plate: power for long, no peak
surge = "?"               # plate or manual: peak power
surge_seconds = "?"       # manual or seller: for how many seconds
idle = "?"                # clamp meter on its battery lead, nothing plugged in: amperes times volts
efficiency = "?"          # plug meter and clamp meter: watts out over watts in
cut_off = "?"             # manual: low-voltage shutdown
voltage = "?"             # plate: output voltage
max_air = "?"             # manual: highest air temperature
bond = "?"                # an electrician with an ohmmeter: are neutral and earth joined inside?
# waveform = "sine"       # sine or modified
# search_mode = true      # true if its search mode is on
# battery = "house"       # the battery its leads end at
"#;

pub(super) const CONVERTER: &str = r#"[[converter]]
name = "another converter"             # a name of its own; loads name it in  through = "..."
current = "?"             # plate: output current
voltage = "?"             # meter on its output
idle = "?"                # meter in its input lead, nothing running
efficiency = "?"          # data sheet
# kind = "step-down"      # step-down or equaliser
# battery = "house"       # the battery its leads end at
"#;

pub(super) const PORTABLE: &str = r#"[[portable]]
name = "another portable unit"         # a name of its own
mass = "?"                # scale
in = "body"               # counted from inside the body
at = ["?", "?", "?"]      # tape to its middle: back from the front wall, right of the centreline, up from the floor
energy = "?"              # label: Wh
continuous = "?"          # label: power for long, no peak
surge = "?"               # label or manual: peak power
surge_seconds = "?"       # manual or seller: for how many seconds
solar_min = "?"           # label at its solar socket: lowest voltage
solar_max = "?"           # label at its solar socket: highest voltage
solar_current = "?"       # label at its solar socket: highest current
cold_protected = "?"      # manual: yes if it refuses charge below 0 °C
bond = "?"                # an electrician with an ohmmeter: are neutral and earth joined inside?
# feeds = "shore"         # the inlet it is plugged into
"#;

pub(super) const LOAD: &str = r#"[[load]]                  # begin with what is never switched off
name = "another load"     # a name of its own, such as "fridge"
power = "?"               # plug meter or plate; current = "..."  in its place by clamp meter
hours = "?"               # a usual day: hours switched on
daily = "?"               # plug meter or shunt over 24 h: it wins over power and hours
# kind = "fridge"         # lamp, fan, pump, fridge, freezer, absorption-fridge, heater, cooling, motor, electronics, standing or other
# on = "12 V"             # 12 V, 24 V, 48 V or ac
# duty = "35 %"           # share of those hours in which it runs
# when = "camp"           # camp, travel or always
# months = ["jun", "jul", "aug"]       # months in which it is used; all of them if left out
# from = "18 h"           # clock hours of use: from
# to = "23 h"             # and to
# battery = "house"       # the battery its fuse is at
# start = "900 VA"        # peak at its start
# through = "big inverter"             # the inverter, converter or unit its lead ends at
# medical = true          # true if somebody's health hangs on it
# safety = true           # true of a detector of gas, smoke or fumes, and of an alarm
"#;

pub(super) const INLET: &str = r#"[[inlet]]
name = "another inlet"    # a name of its own, such as "shore"
breaker = "?"             # toggle of the breaker behind it
voltage = "?"             # plate of the inlet
cord = "?"                # the lead's plug
source_current = "?"      # breaker at the pedestal or in the house's box
bond = "?"                # an electrician's question: are neutral and earth joined in the supply?
# source = "pedestal"     # pedestal, house or generator
"#;

pub(super) const GENERATOR: &str = r#"[[generator]]
name = "another generator"             # a name of its own
mass = "?"                # scale, tank full
in = "body"               # counted from inside the body
at = ["?", "?", "?"]      # tape to its middle: back from the front wall, right of the centreline, up from the floor
power = "?"               # plate: power for long, no peak
bond = "?"                # an electrician with an ohmmeter: are neutral and earth joined inside?
# fuel = "petrol"         # diesel, petrol or gas
"#;

pub(super) const ROOF: &str = r#"[roof]
length = "?"              # tape along the roof's upper face
width = "?"               # tape across the roof's upper face
# walkway = "0.4 m"       # strip to walk on that stays free
# walkway_side = "centre" # left, right, centre or none
# hatch = [{ name = "fan", at = ["2.2 m", "0 m"], size = ["0.5 m", "0.5 m"], height = "150 mm", kind = "vent" }]   # tape from the roof's front edge and its centreline
"#;

pub(super) const LOCKER: &str = r#"[[locker]]
name = "another locker"   # a name of its own, such as "left bench"
area = "?"                # tape: its six faces, added up
vent_low = "?"            # steel rule: open area of the lower vent
vent_high = "?"           # steel rule: open area of the upper vent
vent_height = "?"         # tape from the lower vent to the upper
room = "?"                # thermometer in the room on a hot day
# holds = ["big inverter"]             # what stands in it
"#;

pub(super) const HEAT: &str = r#"[body.heat]               # beside [body]; in a line  body = { ... }  write  heat = { ... }
u = "?"                   # a heater of known power overnight: heat through walls, roof and floor
windows = "?"             # tape: area of all windows
appliances = "?"          # plates: power of what runs inside and warms it
# insulation = "40 mm XPS"             # thickness and material, where u is not known
# metal_frames = true     # true if metal goes through the insulation
# colour = "white"        # white, sand, olive or black
# window_kind = "double"  # single or double
# window_shade = "60 %"   # share of the sun that blinds keep off
# roof_shade = "30 %"     # share of the roof that panels above an air gap shade
# air_changes = 0.5       # how often an hour the air inside is changed
# people = 2              # number of people inside
"#;
