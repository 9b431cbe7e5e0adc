"""The printer of a rehearsal: real papers in a folder, until the play turns it off."""

from dataclasses import dataclass

from kiosk.paper.printer import NO_ANSWER, Printed, Printer, PrinterDown


@dataclass(slots=True)
class SwitchedPrinter:
    """Hands each paper on to `printer` while it is on; refuses it as a dead printer does while it is off."""

    printer: Printer
    on: bool = True

    def print(self, doc: str, name: str, pdf: bytes) -> Printed:
        """Put the paper out. Raises PrinterDown while the printer is off."""
        if not self.on:
            raise PrinterDown(NO_ANSWER)
        return self.printer.print(doc, name, pdf)
