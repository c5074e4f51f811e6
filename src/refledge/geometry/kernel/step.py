"""Solids as STEP files, written and read."""

import re
from collections.abc import Mapping
from itertools import count
from pathlib import Path
from typing import Any

from refledge.errors import GeometryError
from refledge.geometry.kernel.library import Solid, occ, parts_of


def write_step(
    bodies: Mapping[str, Solid], path: Path, stamp: str = "1970-01-01T00:00:00", title: str = ""
) -> None:
    """Named bodies as STEP (ISO 10303-242), mm; bodies moved from one solid share its geometry."""
    _hush()
    document = _document(bodies, title or path.stem)
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
    path.write_text(_renumbered(path.read_text()))


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


def _document(bodies: Mapping[str, Solid], title: str) -> Any:
    document = occ.TDocStd.TDocStd_Document(occ.TCollection.TCollection_ExtendedString("XmlOcaf"))
    tool = occ.XCAFDoc.XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    if len(bodies) == 1:
        ((name, solid),) = bodies.items()
        _name(tool.AddShape(solid.shape, False), name)
        return document
    root = tool.NewShape()
    _name(root, title)
    bare, named = occ.TopLoc.TopLoc_Location(), set()
    for name, solid in bodies.items():
        prototype = tool.AddShape(solid.shape.Located(bare), False)
        if prototype.Tag() not in named:
            named.add(prototype.Tag())
            _name(prototype, name)
        _name(tool.AddComponent(root, prototype, solid.shape.Location()), name)
    tool.UpdateAssemblies()
    return document


def _name(label: Any, text: str) -> None:
    occ.TDataStd.TDataStd_Name.Set_s(label, occ.TCollection.TCollection_ExtendedString(text))


def _hush() -> None:
    """Keep the modeller's chatter off the console; failures still come through."""
    for printer in occ.Message.Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(occ.Message.Message_Gravity.Message_Fail)
