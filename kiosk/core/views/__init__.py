"""What a screen shows, as text and drawing data. The type of the view picks the screen; the screen adds no words.

Every key carries what it sends. Text that only the screen can know at the moment (a clock, digits being typed,
centimeters to go) is made there from templates given here.
"""

from kiosk.core.views.asking import (
    AskView,
    Choice,
    CountRow,
    CountView,
    FindingView,
    NumberView,
    OverviewLumen,
    OverviewRow,
    OverviewView,
    PinView,
    ScanView,
    SignInView,
)
from kiosk.core.views.charting import (
    BarsDrawing,
    ChartDrawing,
    Dot,
    Drawing,
    DrawnBar,
    MarksDrawing,
    Panel,
    PanelsView,
)
from kiosk.core.views.doing import (
    DecisionView,
    DoneView,
    FirstAidView,
    HelpView,
    MenuView,
    NoteView,
    PackView,
    PaperState,
    PhotoView,
    PrintView,
    StepsView,
    StopView,
    WipeView,
)
from kiosk.core.views.intake import IdleView, IntakeView
from kiosk.core.views.listing import ListRow, ListView
from kiosk.core.views.looking import SecondLookView
from kiosk.core.views.reading import PictureView, ReadingView
from kiosk.core.views.set_up import CardView, DotsView, TrialView
from kiosk.core.views.shared import Band, Flag, Hand, Head, Key, KeyKind, Plate, Ring, Screen
from kiosk.core.views.stills import CameraView, StillShown, StillsView, TargetView

View = (
    SignInView | PinView | AskView | ScanView | NumberView | OverviewView | CountView | FindingView | DecisionView
    | PhotoView | StepsView | PackView | PrintView | DoneView | StopView | MenuView | HelpView | NoteView
    | FirstAidView | WipeView | ListView | SecondLookView | IdleView | IntakeView
    | PanelsView | CameraView | StillsView | TargetView | ReadingView | PictureView
    | CardView | DotsView | TrialView
)  # fmt: skip
"""Every view there is; a screen each."""

__all__ = [
    "AskView",
    "Band",
    "BarsDrawing",
    "CameraView",
    "CardView",
    "ChartDrawing",
    "Choice",
    "CountRow",
    "CountView",
    "DecisionView",
    "DoneView",
    "Dot",
    "DotsView",
    "Drawing",
    "DrawnBar",
    "FindingView",
    "FirstAidView",
    "Flag",
    "Hand",
    "Head",
    "HelpView",
    "IdleView",
    "IntakeView",
    "Key",
    "KeyKind",
    "ListRow",
    "ListView",
    "MarksDrawing",
    "MenuView",
    "NoteView",
    "NumberView",
    "OverviewLumen",
    "OverviewRow",
    "OverviewView",
    "PackView",
    "Panel",
    "PanelsView",
    "PaperState",
    "PhotoView",
    "PictureView",
    "PinView",
    "Plate",
    "PrintView",
    "ReadingView",
    "Ring",
    "ScanView",
    "Screen",
    "SecondLookView",
    "SignInView",
    "StepsView",
    "StillShown",
    "StillsView",
    "StopView",
    "TargetView",
    "TrialView",
    "View",
    "WipeView",
]
