"""A second and a third opinion on the least objective of a problem.

Written from "What the rules mean, exactly" (allocator/checking/RULES.md) alone. Nothing here shares code with the
package but the data objects of ``allocator.problem``: the physics, the routes, the ways to wire a circuit and both
searches are its own, in the plainest form that is still fast enough for a drawn problem.
"""

from tests.oracle.brute import least_by_trying_all
from tests.oracle.bundles import NearTieError
from tests.oracle.model import drops_by_cp_sat, least_by_cp_sat

__all__ = ["NearTieError", "drops_by_cp_sat", "least_by_cp_sat", "least_by_trying_all"]
