"""Registers or measures with Open3D or VTK and prints one line: processor time in ms, then the task's numbers.

Usage: register.py TASK FOLDER [rounds], run by tests/bench/native.ts and the registration tests. FOLDER holds, as raw
little-endian numbers: fixed-positions.f64 (x, y, z per vertex, mm), fixed-normals.f64, fixed-triangles.u32,
moving-points.f64 and moving-normals.f64 (the points to be moved), queries.f64.
Tasks:
  open3d-tukey     point-to-plane with Tukey's weights in three stages, start identity; the 16 numbers of the motion
  open3d-plain     point-to-plane with every pair within 5 mm; the 16 numbers of the motion
  vtk-icp          vtkIterativeClosestPointTransform, rigid, every point; the 16 numbers of the motion
  vtk-signed       vtkImplicitPolyDataDistance at the queries; distances go to FOLDER/vtk-signed.f64
The time is that of all threads: run with OMP_NUM_THREADS=1.
"""

import statistics
import sys
import time

import numpy as np

TASK, FOLDER = sys.argv[1], sys.argv[2]
ROUNDS = int(sys.argv[3]) if len(sys.argv) > 3 else 1


def raw(name, kind):
    return np.fromfile(f"{FOLDER}/{name}", kind)


def points(name):
    return raw(name, "<f8").reshape(-1, 3)


def cloud(positions, normals):
    import open3d

    out = open3d.geometry.PointCloud(open3d.utility.Vector3dVector(points(positions)))
    out.normals = open3d.utility.Vector3dVector(points(normals))
    return out


def open3d_icp(stages):
    """Stages of (farthest partner, Tukey's constant or None), mm."""
    import open3d

    open3d.utility.set_verbosity_level(open3d.utility.VerbosityLevel.Error)
    registration = open3d.pipelines.registration
    moving, fixed = cloud("moving-points.f64", "moving-normals.f64"), cloud("fixed-positions.f64", "fixed-normals.f64")
    criteria = registration.ICPConvergenceCriteria(1e-9, 1e-9, 60)

    def run():
        motion = np.eye(4)
        for farthest, constant in stages:
            plane = registration.TransformationEstimationPointToPlane
            estimate = plane() if constant is None else plane(registration.TukeyLoss(constant))
            motion = registration.registration_icp(moving, fixed, farthest, motion, estimate, criteria).transformation
        return motion.ravel()

    return run


def vtk_mesh():
    import vtk
    from vtk.util.numpy_support import numpy_to_vtk

    mesh = vtk.vtkPolyData()
    corners = vtk.vtkPoints()
    corners.SetData(numpy_to_vtk(points("fixed-positions.f64"), deep=True))
    mesh.SetPoints(corners)
    cells = vtk.vtkCellArray()
    triangles = raw("fixed-triangles.u32", "<u4").astype(np.int64)
    cells.SetData(3, numpy_to_vtk(triangles, deep=True, array_type=vtk.VTK_ID_TYPE))
    mesh.SetPolys(cells)
    return mesh


def vtk_icp():
    import vtk
    from vtk.util.numpy_support import numpy_to_vtk

    fixed = vtk_mesh()
    moving = vtk.vtkPolyData()
    places = vtk.vtkPoints()
    wanted = points("moving-points.f64")
    places.SetData(numpy_to_vtk(wanted, deep=True))
    moving.SetPoints(places)

    def run():
        icp = vtk.vtkIterativeClosestPointTransform()
        icp.SetSource(moving)
        icp.SetTarget(fixed)
        icp.GetLandmarkTransform().SetModeToRigidBody()
        icp.SetMaximumNumberOfLandmarks(len(wanted))
        icp.SetMaximumNumberOfIterations(200)
        icp.CheckMeanDistanceOn()
        icp.SetMaximumMeanDistance(1e-6)
        icp.Update()
        matrix = icp.GetMatrix()
        return [matrix.GetElement(row, column) for row in range(4) for column in range(4)]

    return run


def vtk_signed():
    import vtk
    from vtk.util.numpy_support import numpy_to_vtk, vtk_to_numpy

    distance = vtk.vtkImplicitPolyDataDistance()
    distance.SetInput(vtk_mesh())
    queries = numpy_to_vtk(points("queries.f64"), deep=True)
    out = vtk.vtkDoubleArray()

    def run():
        distance.FunctionValue(queries, out)
        vtk_to_numpy(out).astype("<f8").tofile(f"{FOLDER}/vtk-signed.f64")
        return []

    return run


TASKS = {
    "open3d-tukey": lambda: open3d_icp(((5.0, 2.0), (1.5, 0.5), (0.5, 0.1))),
    "open3d-plain": lambda: open3d_icp(((5.0, None),)),
    "vtk-icp": vtk_icp,
    "vtk-signed": vtk_signed,
}


def main():
    run = TASKS[TASK]()
    times = []
    for _ in range(ROUNDS):
        start = time.process_time()
        numbers = run()
        times.append((time.process_time() - start) * 1000)
    print(statistics.median(times), *numbers)


main()
