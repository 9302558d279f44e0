"""The plan screen's way to the folded box."""

from __future__ import annotations

from tiler.tui.screens.plan_work import PlanWork


class PlanFold(PlanWork):
    """Opens the folded box."""

    def action_folded(self) -> None:
        """See the box folded and set how it folds."""
        from tiler.tui.screens.folded import FoldedScreen

        if self.loaded is None:
            self.notify("The flat must be read first.", timeout=4)
            return
        self.app.push_screen(FoldedScreen(self))
