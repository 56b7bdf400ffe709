"""Reads a scan with VTK or Open3D and prints the median time in ms, its vertices and its triangles.

Usage: read_scan.py TASK FILE, run by tests/bench/references.ts. The first run does not count, as in the other benchmarks.
Tasks:
  vtk-stl      binary or text STL, equal points merged, triangles without area removed
  vtk-check    the same, then wound one way, components found, border and edges of more than two triangles counted
  vtk-ply      PLY, equal points merged, triangles without area removed
  open3d-ply   PLY, equal points merged, triangles without area and repeated ones removed
"""

import statistics
import sys
import time

RUNS = 5


def vtk_clean(reader, name):
    import vtk

    reader.SetFileName(name)
    clean = vtk.vtkCleanPolyData()
    clean.SetInputConnection(reader.GetOutputPort())
    clean.ToleranceIsAbsoluteOn()
    clean.SetAbsoluteTolerance(0.0)
    clean.Update()
    return clean


def vtk_stl(name):
    import vtk

    reader = vtk.vtkSTLReader()
    reader.MergingOn()
    mesh = vtk_clean(reader, name).GetOutput()
    return mesh.GetNumberOfPoints(), mesh.GetNumberOfPolys()


def vtk_check(name):
    import vtk

    reader = vtk.vtkSTLReader()
    reader.MergingOn()
    clean = vtk_clean(reader, name)
    normals = vtk.vtkPolyDataNormals()
    normals.SetInputConnection(clean.GetOutputPort())
    normals.SplittingOff()
    normals.ConsistencyOn()
    normals.AutoOrientNormalsOff()
    connectivity = vtk.vtkPolyDataConnectivityFilter()
    connectivity.SetInputConnection(normals.GetOutputPort())
    connectivity.SetExtractionModeToAllRegions()
    connectivity.ColorRegionsOn()
    edges = vtk.vtkFeatureEdges()
    edges.SetInputConnection(connectivity.GetOutputPort())
    edges.FeatureEdgesOff()
    edges.BoundaryEdgesOn()
    edges.NonManifoldEdgesOn()
    edges.Update()
    mesh = connectivity.GetOutput()
    return mesh.GetNumberOfPoints(), mesh.GetNumberOfPolys()


def vtk_ply(name):
    import vtk

    mesh = vtk_clean(vtk.vtkPLYReader(), name).GetOutput()
    return mesh.GetNumberOfPoints(), mesh.GetNumberOfPolys()


def open3d_ply(name):
    import open3d

    mesh = open3d.io.read_triangle_mesh(name)
    mesh.remove_duplicated_vertices()
    mesh.remove_degenerate_triangles()
    mesh.remove_duplicated_triangles()
    mesh.remove_unreferenced_vertices()
    return len(mesh.vertices), len(mesh.triangles)


TASKS = {"vtk-stl": vtk_stl, "vtk-check": vtk_check, "vtk-ply": vtk_ply, "open3d-ply": open3d_ply}


def main():
    task, name = TASKS[sys.argv[1]], sys.argv[2]
    task(name)
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        vertices, triangles = task(name)
        times.append((time.perf_counter() - start) * 1000)
    print(statistics.median(times), vertices, triangles)


main()
