"""What every value of a build is called on the page and what it does, one line each; a * puts it under *For engineers*."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Meaning:
    """Name for a label, one sentence, and whether it stands under *For engineers*."""

    name: str
    says: str
    engineers: bool


def _table(rows: str) -> dict[str, Meaning]:
    found = {}
    for row in rows.strip().splitlines():
        key, name, says = (cell.strip() for cell in row.split("|"))
        found[key.rstrip("*")] = Meaning(name, says, key.endswith("*"))
    return found


# Keys of a build file's sections; the last word of a place is looked up with its section, then by itself.
BUILD_KEYS = _table("""
stove.room | room | How warm the room is; the fan's air starts from it.
stove.altitude* | height above sea | Thinner air on a mountain carries less heat and turns the blade more easily.
stove.usual_plate | plate in normal burning | What a thermometer on the bare plate shows on an ordinary evening.
stove.worst_plate | plate when over-fired | What it shows when somebody forgets the air slide.
stove.plate_material | plate metal | Heat must flow sideways through the plate to reach the foot.
stove.plate_finish* | plate finish | Decides how strongly the plate glows at the fan.
stove.plate_thickness | plate thickness | A thin plate is chilled more by the foot.
stove.plate_front | plate, riser to front edge | How far the glowing plate reaches in front of the fan.
stove.plate_side | plate, riser to either side | How far it reaches to each side.
stove.flame_coefficient* | flame below the plate | How freely flame and glow give heat to the plate's underside.
stove.coating* | paint or rust on the plate | A layer that heat has to cross under the foot.
stove.coating_conductivity* | that layer's conductivity | How well the layer lets heat through.
stove.plume_still* | plume while the blade stands | Share of the plate's excess heat found in the air round the fan.
stove.plume_blown* | plume while it turns | The same once the blade blows the warm air away.
wish.air | air wished for | What you want it to move in normal burning.
wish.starts_by | should turn by | The plate at which it should be turning on a warming stove.
riser.shape | shape | A round bar or a square block.
riser.diameter | diameter | A thicker riser carries more heat and takes more from the plate.
riser.width | width | A wider riser carries more heat and takes more from the plate.
riser.depth | depth | A deeper riser carries more heat and takes more from the plate.
riser.length | length | A longer riser keeps the modules cooler; a shorter one starts earlier.
riser.material | metal | Copper and aluminium carry heat well, steel poorly.
riser.finish* | finish | Decides how much heat its sides glow away.
seat.roughness* | scratches of foot and plate | Height of the scratches of both faces together.
seat.slope* | steepness of the scratches | Sharper scratches touch at more points.
seat.flatness | out of flat | How far foot and plate stray from flat: air fills the rest and costs kelvins.
seat.bow* | share of bow | 0: high in the middle; 1: bent one way like a strip.
seat.settle* | settling | Pin travel over which the solid spots let go.
seat.shim | shim under the foot | A sheet that holds heat back on a stove that runs too hot.
seat.shim_count | how many | Sheets laid on one another.
joint.fill | what lies between | Grease, a sheet, or nothing.
joint.surface | how the faces were made | Sawn, milled, rubbed on glass: flatter faces lose fewer kelvins.
hot_plate.width | width | Spreads the heat under the modules.
hot_plate.depth | depth | Spreads the heat under the modules.
hot_plate.thickness | thickness | Thicker spreads better and stores more.
hot_plate.material | metal | Aluminium or copper, as a rule.
hot_plate.held | held to the riser by | Screws, unless it is one metal with its riser; which screws, Shop chooses where no size is named.
hot_plate.finish* | finish | Decides how much heat its sides glow away.
spreader.width | width | Spreads the heat over the sink's base.
spreader.depth | depth | Spreads the heat over the sink's base.
spreader.thickness | thickness | Thicker spreads better.
spreader.material | metal | Aluminium or copper, as a rule.
spreader.finish* | finish | Decides how much heat its sides glow away.
modules.part | kind | A kind out of the catalogue brings every figure; what you measure goes over it.
modules.count | how many | More modules share the heat; each then sees less difference.
wiring.arrangement | wiring | Series adds volts, parallel adds amperes; a motor wants one or the other.
wiring.leads* | leads and joints | Ohms of wire, crimps and solder joints.
wiring.limit* | wire limit | What the wire's sleeve can bear at the modules.
wiring.wire_area* | wire | Copper of one lead.
wiring.lead_length* | lead, one way | From module to motor.
wiring.solder | solder at the leads | It must melt well above the face beside it.
wiring.slot* | leads come out | Through which slot or side.
clamp.pressure | clamp pressure | How hard the screws press on the modules.
clamp.torque | torque | What you tighten with; the pressure is aimed at when left out.
clamp.friction* | friction in the thread | Oiled, dry or rusty: the same torque presses differently.
clamp.tool* | how torque is judged | Wrench, spring scale on the key, or feel.
surround.fill | round the modules | Air or lagging between the hot and the cold plate.
sink.part | kind | A kind out of the catalogue brings every size.
sink.on_base* | fins on a base | How much worse upright fins on a base cool than open ones.
sink.in_stream* | in the blade's stream | Share of the blade's stream that the fins stand in.
sink.bypass* | air past the fins | Share of that stream which goes between the fins.
sink.fins_cut* | fins cut back | How wide they are cut back round the screw heads.
sink.blown_power* | answer to the wind | How a measured sink answers to more wind.
screws.part | kind | Size and metal of the clamp screws.
screws.count | how many | Every screw carries heat past the modules.
screws.free_length | free length | From head to thread: longer screws steal less heat.
screws.hole | hole | Clearance hole in the colder plate.
screws.circle | on a circle of | Pitch circle of the screws.
screws.across | apart, across | Centre to centre.
screws.along | apart, along | Centre to centre.
screws.head_contact* | under the head | How well the head presses on what it clamps.
screws.bush | insulating bush | A sleeve with a collar that keeps the screw from carrying heat into the sink.
screws.washer | washer | Flat or disc washers under the head.
screws.washers* | washers in a row | How many disc washers or packs stand one on another.
screws.nested* | nested in a pack | How many lie in one another the same way up.
screws.engaged* | in the thread | How much of the screw is in the thread.
screws.strength* | screw strength | Where its head or a sheet says so.
motor.part | kind | A kind out of the catalogue brings every figure; what you measure goes over it.
motor.mount_conductance* | bracket | How well its bracket leads heat from the sink into the motor.
motor.emissivity* | glow of its body | How strongly its body takes and gives glow.
blade.part | kind | Size, pitch and number of vanes.
blade.height | hub above the plate | Decides how much warm plume it draws in.
blade.before_sink | hub before the sink | From the sink's front edge to the blade's middle: how far out blade and motor hang.
guard.kind | kind of guard | What the wax does when it gets too hot: lifts or tilts the fan, or nothing is fitted.
guard.element | wax element | By the temperature stamped on it.
guard.held_in | where it is held | A guard fed through the seat it opens may hunt; on the plate itself it cannot.
guard.element_height* | element above the plate | Where in the riser it sits.
guard.holder_conductance | its holder | How well the holder brings heat to the element.
guard.element_loss | its cooling | How well the element loses heat to the air.
guard.lost_motion | lost motion | Stroke used up before the pin touches.
guard.lever_ratio* | lever | How far the foot moves for each millimetre of stroke.
guard.stop | stop | Where the mechanism holds the lift.
guard.stands | lifted, it stands on | A guide, three pins, or its foot; else it tips.
guard.foot_radius* | foot radius | What it stands on while lifted.
guard.pivot_distance* | pin to pivot edge | For a fan that tilts: across, from the foot's far edge to where it is pushed up.
guard.pin_diameter* | pin diameter | A thick pin carries heat while it touches.
guard.pin_length | pin length | From element to plate.
guard.pin_bore* | depth the pin works in | From the seat of the element to what the pin pushes, cold.
guard.pin_material* | pin metal | Stainless carries the least heat.
guard.pin_tip* | pin tip | A ceramic bead keeps the pin from feeding the element.
guard.spring_force* | return spring | Its push with the fan down and the element cold.
guard.spring_rate* | spring rate | Its push for each millimetre.
guard.plate_slope* | slope of the stove plate | No plate lies level.
guard.over_travel | over-travel spring | What a spring between element and pin takes up once the fan is at its stop.
guard.pivot_edge* | edge it tilts about | How long that edge is, along the foot's depth.
guard.pin_offset* | pin off the middle | To the right; for a fan that tilts towards the blade.
guard.piston_out* | pin out of the element | How far it stands out when cold.
guard.carrier_length* | carrier tube | Length of the tube under the element's shoulder.
guard.carrier_diameter* | carrier tube across | What stands on the seat; a narrow one leans more.
guard.carrier_square* | its end out of square | A crooked end leans the pin.
guard.pin_fit* | pin in its bore | The fit it is turned and reamed to.
fan.mass | weight of the whole fan | What presses on the seat and what the guard must lift.
""")

# Fields of parts; a kind's own sentence (kind.field) goes before the general one.
PART_FIELDS = _table("""
seebeck | volts for each kelvin | Open volts over the difference of its faces; measure with a kettle and ice.
module.resistance | ohms inside | Measured with alternating current, or between kettle and ice.
conductance* | heat let through | Watts that cross for each kelvin between its faces.
couples* | couples | Pairs of legs inside.
hot_limit | hot face limit | Above it the solder and the paste give out.
cold_limit* | cold face limit | The colder face has a limit too.
solder* | its solder melts | The hardest end of a module's life.
pressure_low* | clamp from | Least clamp pressure its maker asks for.
pressure_high* | clamp up to | Most clamp pressure its maker allows.
motor.resistance | winding | Ohms between its leads, turned a little between readings.
torque_constant | twist for each ampere | Also its volts for each turn: the larger, the slower it runs.
friction | running friction | Twist lost while turning.
breakaway | twist to break away | What it takes to start from standstill: decides when the fan starts.
drag* | drag | Friction that grows with speed.
brush_drop* | volts at the brushes | Lost at every current.
magnet* | magnet | Kind of magnet, which weakens when hot.
magnet_coefficient* | magnet's loss | For each kelvin.
limit | limit | The hottest it may get.
mass* | mass | Weight.
heat_capacity* | heat stored | For each kelvin.
diameter | diameter | Across.
length | length | Overall.
width | width | Across.
depth | depth | Along.
thickness | thickness | Through.
height | height | Overall.
pitch* | pitch | How far one turn would screw it forward.
count | vanes | Number of vanes.
power_coefficient* | drag of the blade | How hard it is to turn.
thrust_coefficient* | push of the blade | How much it pushes for its size and speed.
opens | opens at | Stamped on it; a pan of water and a thermometer tell.
full | fully out at | Where it has made its full stroke.
travel | stroke | How far the pin comes out.
creep* | creep | Further growth above the full stroke.
hysteresis | hysteresis | How much cooler it must get before the pin goes back.
lag* | lag | How late it follows when dipped into water.
force | force | The most it can push.
bursts | bursts at | A blocked or overheated element bursts.
most_travel* | room it needs | The furthest its pin may ever come.
thread* | thread | Thread.
stress_area* | core | Area that carries the load.
head_diameter* | head | Across the head.
base_width | base, across the fins | Width of the base.
base_length | base, along the fins | Length of the base.
base_thickness | base thickness | A thick base spreads the heat.
fin_height | fin height | Taller fins shed more, up to a point.
fin_thickness | fin thickness | Thin fins are cooler at their tips.
fin_pitch | fin to fin | Middle to middle.
fin_count | fins | Number of fins.
core_diameter | core | Diameter inside the fins.
outer_diameter | outside | Diameter over the fins.
bore* | bore | Hole through the core.
pin_diameter | pin diameter | Across one pin.
pin_height | pin height | Taller pins shed more.
pin_pitch | pin to pin | Middle to middle.
pin_count | pins | Number of pins.
still* | in still air | Kelvins for each watt without wind.
still_rise* | measured at | How warm it was over the air then.
blown* | in wind | Kelvins for each watt with wind.
blown_at* | wind then | Speed of that wind.
conductivity* | conductivity | How well it carries heat.
inner* | hole | Inside diameter.
outer* | outside | Outside diameter.
flange_diameter* | collar | Across the collar.
flange_thickness* | collar thickness | Thickness of the collar.
""")


def build_meaning(section: str, key: str) -> Meaning | None:
    """Meaning of a key of a build file's section ("riser", "joint" ...)."""
    return BUILD_KEYS.get(f"{section}.{key}")


def part_meaning(kind: str, field: str) -> Meaning | None:
    """Meaning of a part's field; None for what the page does not show."""
    return PART_FIELDS.get(f"{kind}.{field}") or PART_FIELDS.get(field)
