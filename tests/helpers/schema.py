"""Checks an XML tree against an XML schema, as far as the MusicXML schema goes (W3C XML Schema 1.0).

A content model becomes a regular expression over the names of an element's children; attributes and texts are
checked against their simple types. What the MusicXML schema does not use (``all``, ``any``, substitution groups,
keys) is not known here and is an error, so that nothing passes unseen.
"""

from __future__ import annotations

import re
from functools import cache
from importlib.metadata import distribution
from pathlib import Path
from xml.etree import ElementTree as ET

XS = "{http://www.w3.org/2001/XMLSchema}"
NUMBERS = ("decimal", "integer", "positiveInteger", "nonNegativeInteger")
LEXICAL = {
    "decimal": r"[+-]?(\d+(\.\d*)?|\.\d+)",
    "integer": r"[+-]?\d+",
    "positiveInteger": r"\+?0*[1-9]\d*",
    "nonNegativeInteger": r"\+?\d+|-0+",
    "date": r"\d{4}-\d\d-\d\d",
    "NMTOKEN": r"[\w.:-]+",
    "ID": r"[A-Za-z_][\w.-]*",
    "IDREF": r"[A-Za-z_][\w.-]*",
    "token": r"(\S+( \S+)*)?",
    "string": r"(?s:.*)",
    "anyURI": r"\S*",
    "language": r"[A-Za-z]{1,8}(-[A-Za-z0-9]{1,8})*",
}


class Schema:
    """A schema whose definitions are found by name."""

    def __init__(self, root: ET.Element) -> None:
        self._named: dict[tuple[str, str], ET.Element] = {}
        for element in root:
            if isinstance(element.tag, str) and element.get("name"):
                self._named[element.tag.removeprefix(XS), element.get("name", "")] = element

    def _find(self, kind: str, name: str) -> ET.Element | None:
        return self._named.get((kind, name))

    def faults(self, element: ET.Element) -> list[str]:
        """Everything about a tree that the schema does not allow; empty for a valid one."""
        declaration = self._find("element", str(element.tag))
        if declaration is None:
            return [f"<{element.tag}> is no root element"]
        return list(self._element_faults(element, declaration, str(element.tag)))

    def _element_faults(self, element: ET.Element, declaration: ET.Element, path: str) -> list[str]:
        type_name = declaration.get("type")
        inline = declaration.find(f"{XS}complexType")
        definition = inline if inline is not None else self._find("complexType", type_name or "")
        if definition is None:
            faults = [f"{path}: <{child.tag}> is not allowed" for child in element]
            faults += [f"{path}: attribute {name} is not allowed" for name in element.attrib]
            return faults + self._text_faults(element.text or "", type_name or "string", path)
        faults = self._attribute_faults(element, definition, path)
        content = self._content_type(definition)
        if content is not None:
            faults += [f"{path}: <{child.tag}> is not allowed" for child in element]
            return faults + self._text_faults(element.text or "", content, path)
        if (element.text or "").strip():
            faults.append(f"{path}: text is not allowed")
        names = "".join(f"{child.tag} " for child in element)
        if not re.fullmatch(self._model(id(definition), definition), names):
            faults.append(f"{path}: the order {names.split()} is not allowed")
        children = self._children(definition)
        for number, child in enumerate(element):
            declared = children.get(str(child.tag))
            if declared is not None:
                faults += self._element_faults(child, declared, f"{path}/{child.tag}[{number}]")
        return faults

    def _content_type(self, definition: ET.Element) -> str | None:
        """The simple type of a complex type's text, where it has text and no children."""
        extension = definition.find(f"{XS}simpleContent/{XS}extension")
        if extension is not None:
            return extension.get("base")
        extension = definition.find(f"{XS}complexContent/{XS}extension")
        if extension is not None:
            base = self._find("complexType", extension.get("base", ""))
            return self._content_type(base) if base is not None else None
        return None

    @cache  # noqa: B019 - one schema lives as long as the test run
    def _model(self, _: int, definition: ET.Element) -> str:
        return "".join(self._particle(child) for child in definition)

    def _particle(self, particle: ET.Element) -> str:
        """A particle of a content model as a regular expression over names, each followed by a space."""
        tag = str(particle.tag).removeprefix(XS)
        if tag in ("attribute", "attributeGroup", "annotation", "simpleContent"):
            return ""
        if tag == "complexContent":
            extension = particle.find(f"{XS}extension")
            assert extension is not None
            base = self._find("complexType", extension.get("base", ""))
            assert base is not None
            return self._model(id(base), base) + "".join(self._particle(child) for child in extension)
        if tag == "element":
            inner = re.escape(particle.get("name") or particle.get("ref") or "") + " "
        elif tag == "group":
            group = self._find("group", particle.get("ref", ""))
            assert group is not None
            inner = "".join(self._particle(child) for child in group)
        elif tag == "sequence":
            inner = "".join(self._particle(child) for child in particle)
        elif tag == "choice":
            inner = "|".join(self._particle(child) for child in particle if child.tag != f"{XS}annotation")
        else:
            raise AssertionError(f"the schema uses {tag}")
        least, most = particle.get("minOccurs", "1"), particle.get("maxOccurs", "1")
        return f"(?:{inner})" + (
            f"{{{least},{'' if most == 'unbounded' else most}}}" if (least, most) != ("1", "1") else ""
        )

    def _children(self, node: ET.Element) -> dict[str, ET.Element]:
        """Declarations of the elements that a content model may hold, by name."""
        found: dict[str, ET.Element] = {}
        for particle in node:
            tag = str(particle.tag).removeprefix(XS)
            if tag == "element":
                reference = particle.get("ref")
                declared = self._find("element", reference) if reference else particle
                assert declared is not None
                found[declared.get("name", "")] = declared
            elif tag == "group":
                group = self._find("group", particle.get("ref", ""))
                assert group is not None
                found |= self._children(group)
            elif tag == "extension":
                base = self._find("complexType", particle.get("base", ""))
                found |= self._children(base) if base is not None else {}
                found |= self._children(particle)
            elif tag in ("sequence", "choice", "complexContent"):
                found |= self._children(particle)
        return found

    def _attributes(self, node: ET.Element) -> dict[str, ET.Element]:
        found: dict[str, ET.Element] = {}
        for child in node:
            tag = str(child.tag).removeprefix(XS)
            if tag == "attribute":
                found[
                    child.get("name") or child.get("ref", "").replace("xml:", "{http://www.w3.org/XML/1998/namespace}")
                ] = child
            elif tag == "attributeGroup":
                group = self._find("attributeGroup", child.get("ref", ""))
                assert group is not None
                found |= self._attributes(group)
            elif tag in ("simpleContent", "complexContent", "extension"):
                base = self._find("complexType", child.get("base", ""))
                found |= self._attributes(base) if base is not None else {}
                found |= self._attributes(child)
        return found

    def _attribute_faults(self, element: ET.Element, definition: ET.Element, path: str) -> list[str]:
        declared = self._attributes(definition)
        faults = [f"{path}: attribute {name} is not allowed" for name in element.attrib if name not in declared]
        for name, attribute in declared.items():
            value = element.get(name)
            if value is None:
                if attribute.get("use") == "required":
                    faults.append(f"{path}: attribute {name} is missing")
            elif attribute.get("type"):
                faults += self._text_faults(value, attribute.get("type", ""), f"{path}@{name}")
        return faults

    def _text_faults(self, text: str, type_name: str, path: str) -> list[str]:
        return [] if self._is_of_type(text, type_name) else [f"{path}: {text!r} is no {type_name}"]

    def _is_of_type(self, text: str, type_name: str) -> bool:
        plain = type_name.removeprefix("xs:")
        if type_name.startswith("xs:"):
            return re.fullmatch(LEXICAL[plain], text if plain == "string" else text.strip()) is not None
        definition = self._find("simpleType", type_name)
        if definition is None:
            # A complex type with simple content stands for its text.
            complex_type = self._find("complexType", type_name)
            assert complex_type is not None, type_name
            content = self._content_type(complex_type)
            return content is None or self._is_of_type(text, content)
        union = definition.find(f"{XS}union")
        if union is not None:
            members = union.get("memberTypes", "").split()
            inline = [child.find(f"{XS}restriction") for child in union.iterfind(f"{XS}simpleType")]
            return any(self._is_of_type(text, member) for member in members) or any(
                self._meets(text, restriction) for restriction in inline if restriction is not None
            )
        restriction = definition.find(f"{XS}restriction")
        assert restriction is not None
        return self._meets(text, restriction)

    def _meets(self, text: str, restriction: ET.Element) -> bool:
        if not self._is_of_type(text, restriction.get("base", "")):
            return False
        choices = [facet.get("value") for facet in restriction.iterfind(f"{XS}enumeration")]
        if choices and text.strip() not in choices:
            return False
        for facet in restriction:
            value = facet.get("value", "")
            kind = str(facet.tag).removeprefix(XS)
            if kind == "pattern" and not re.fullmatch(_python_pattern(value), text):
                return False
            if kind == "minLength" and len(text) < int(value):
                return False
            if kind == "minInclusive" and float(text) < float(value):
                return False
            if kind == "maxInclusive" and float(text) > float(value):
                return False
            if kind == "minExclusive" and float(text) <= float(value):
                return False
        return True


def _python_pattern(pattern: str) -> str:
    """A schema's pattern as Python's: the name characters ``\\c`` are spelled out."""
    return pattern.replace("\\c", r"[\w.:-]").replace("\\i", r"[A-Za-z_:]")


@cache
def musicxml_schema() -> Schema:
    """The W3C's MusicXML 4.0 schema, which lies in the package `musicxml` among what its classes are made from."""
    # Found without importing the package, whose own code warns where it has not been compiled before.
    schema = distribution("musicxml").locate_file("musicxml/generate_classes/musicxml_4_0.xsd")
    text = Path(str(schema)).read_text("utf-8")
    return Schema(ET.fromstring(text))
