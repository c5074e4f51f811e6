"""Solids as STEP files, written and read."""

import re
from collections.abc import Mapping, Sequence
from itertools import count
from pathlib import Path
from types import MappingProxyType
from typing import Any

from refledge.errors import GeometryError
from refledge.geometry.kernel.library import Solid, occ, parts_of

Colour = tuple[float, float, float]
"""Red, green, blue as shown on a screen (sRGB), 0 to 1."""


def write_step(
    bodies: Mapping[str, Solid],
    path: Path,
    stamp: str = "1970-01-01T00:00:00",
    title: str = "",
    colours: Mapping[str, Colour] = MappingProxyType({}),
) -> None:
    """Named bodies as STEP (ISO 10303-242), mm; bodies moved from one solid share its geometry.

    ``colours`` by the bodies' names; bodies that share geometry take the colour of the first.
    """
    _hush()
    document, own = _document(bodies, title or path.stem)
    occ.STEPCAFControl.STEPCAFControl_Controller.Init_s()
    static = occ.Interface.Interface_Static
    static.SetCVal_s("write.step.schema", "AP242DIS")
    writer = occ.STEPCAFControl.STEPCAFControl_Writer()
    writer.SetNameMode(True)
    if not writer.Transfer(document, occ.STEPControl.STEPControl_StepModelType.STEPControl_AsIs):
        raise GeometryError(f"{path.name}: the bodies could not be put into STEP")
    header = occ.APIHeaderSection.APIHeaderSection_MakeHeader(writer.Writer().Model())
    text = occ.TCollection.TCollection_HAsciiString
    header.SetName(text(title or path.stem))
    header.SetTimeStamp(text(stamp))
    if writer.Write(str(path)) != occ.IFSelect.IFSelect_ReturnStatus.IFSelect_RetDone:
        raise GeometryError(f"{path} could not be written")
    path.write_text(_coloured(_renumbered(path.read_text()), [colours.get(n) for n in own]))


def _renumbered(step: str) -> str:
    """The modeller numbers uses of parts on and on through a process: count from 1 instead."""
    uses = count(1)

    def again(found: re.Match[str]) -> str:
        return f"{found[1]}'{next(uses)}',{' '.join(found[2].split())};"

    return re.sub(r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\()'\d+',([^;]*);", again, step)


def read_step(path: Path) -> tuple[Solid, ...]:
    """All bodies in a STEP file, placed as they stand."""
    _hush()
    reader = occ.STEPControl.STEPControl_Reader()
    if reader.ReadFile(str(path)) != occ.IFSelect.IFSelect_ReturnStatus.IFSelect_RetDone:
        raise GeometryError(f"{path} is not a STEP file that can be read")
    reader.TransferRoots()
    return tuple(Solid(each) for each in parts_of(reader.OneShape(), "SOLID"))


def _document(bodies: Mapping[str, Solid], title: str) -> tuple[Any, list[str]]:
    """The modeller's document, and the name of each solid of its own in the order of the file."""
    document = occ.TDocStd.TDocStd_Document(occ.TCollection.TCollection_ExtendedString("XmlOcaf"))
    tool = occ.XCAFDoc.XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    if len(bodies) == 1:
        ((name, solid),) = bodies.items()
        _name(tool.AddShape(solid.shape, False), name)
        return document, [name]
    root = tool.NewShape()
    _name(root, title)
    bare, named = occ.TopLoc.TopLoc_Location(), dict[int, str]()
    for name, solid in bodies.items():
        prototype = tool.AddShape(solid.shape.Located(bare), False)
        if prototype.Tag() not in named:
            named[prototype.Tag()] = name
            _name(prototype, name)
        _name(tool.AddComponent(root, prototype, solid.shape.Location()), name)
    tool.UpdateAssemblies()
    return document, list(named.values())


def _name(label: Any, text: str) -> None:
    occ.TDataStd.TDataStd_Name.Set_s(label, occ.TCollection.TCollection_ExtendedString(text))


def _coloured(step: str, colours: Sequence[Colour | None]) -> str:
    """Styles (ISO 10303-46) added for the solids in the order of the file.

    The modeller writes them too, but in an order that changes from run to run.
    """
    solids = re.findall(r"#(\d+) = MANIFOLD_SOLID_BREP\(", step)
    shapes = re.findall(r"REPRESENTATION\('[^']*',\(([^()]*)\),#(\d+)\);", step)
    context = {item: where for items, where in shapes for item in re.findall(r"#(\d+)", items)}
    if len(solids) != len(colours) or not set(solids) <= set(context):
        raise GeometryError(f"{len(colours)} bodies became {len(solids)} solids in STEP")
    number = max(int(n) for n in re.findall(r"^#(\d+) = ", step, re.MULTILINE)) + 1
    lines = []
    for solid, colour in zip(solids, colours, strict=True):
        if colour is not None:
            lines += _style(number, solid, context[solid], colour)
            number += len(_STYLE)
    return step.replace("ENDSEC;\nEND-ISO", "".join(lines) + "ENDSEC;\nEND-ISO")


_STYLE = (
    "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',({next}),#{context})",
    "STYLED_ITEM('colour',({next}),#{solid})",
    "PRESENTATION_STYLE_ASSIGNMENT(({next}))",
    "SURFACE_STYLE_USAGE(.BOTH.,{next})",
    "SURFACE_SIDE_STYLE('',({next}))",
    "SURFACE_STYLE_FILL_AREA({next})",
    "FILL_AREA_STYLE('',({next}))",
    "FILL_AREA_STYLE_COLOUR('',{next})",
    "COLOUR_RGB('',{rgb})",
)


def _style(first: int, solid: str, context: str, colour: Colour) -> list[str]:
    rgb = ",".join(f"{c:.6f}" for c in colour)
    return [
        f"#{first + k} = "
        + words.format(next=f"#{first + k + 1}", context=context, solid=solid, rgb=rgb)
        + ";\n"
        for k, words in enumerate(_STYLE)
    ]


def _hush() -> None:
    """Keep the modeller's chatter off the console; failures still come through."""
    for printer in occ.Message.Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(occ.Message.Message_Gravity.Message_Fail)
