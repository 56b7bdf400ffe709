// Nearest points with Embree and nanoflann, one thread. Usage: nearest FOLDER ROUNDS, run by tests/bench/native.ts.
// FOLDER holds raw little-endian numbers: fixed-positions.f64, fixed-triangles.u32, queries.f64. Prints one line each:
// name, processor time of building and of all queries in ms (medians). Distances go to FOLDER/embree.f64 and
// FOLDER/nanoflann.f64. Both compute in single precision, about the middle of the surface.
#include <embree3/rtcore.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <fstream>
#include <limits>
#include <memory>
#include <nanoflann.hpp>
#include <string>
#include <vector>

using Point = Eigen::Vector3f;

template <class T>
std::vector<T> raw(const std::string& name) {
  std::ifstream in(name, std::ios::binary | std::ios::ate);
  std::vector<T> values(static_cast<size_t>(in.tellg()) / sizeof(T));
  in.seekg(0);
  in.read(reinterpret_cast<char*>(values.data()), static_cast<std::streamsize>(values.size() * sizeof(T)));
  return values;
}

template <class Work>
double milliseconds(int rounds, Work&& work) {
  std::vector<double> times;
  for (int i = 0; i < rounds; i++) {
    const std::clock_t start = std::clock();
    work();
    times.push_back(1e3 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
  }
  std::sort(times.begin(), times.end());
  return times[times.size() / 2];
}

void write(const std::string& name, const std::vector<double>& values) {
  std::ofstream out(name, std::ios::binary);
  out.write(reinterpret_cast<const char*>(values.data()), static_cast<std::streamsize>(8 * values.size()));
}

struct Surface {
  std::vector<float> positions;
  std::vector<uint32_t> triangles;
  Point corner(uint32_t triangle, int k) const {
    const float* p = &positions[3 * triangles[3 * triangle + k]];
    return {p[0], p[1], p[2]};
  }
};

// The nearest point of a triangle by its Voronoi regions (Ericson 2005, Real-Time Collision Detection, 5.1.5).
Point nearestOnTriangle(const Point& p, const Point& a, const Point& b, const Point& c) {
  const Point u = b - a, v = c - a;
  const float du = u.dot(p - a), dv = v.dot(p - a);
  if (du <= 0 && dv <= 0) return a;
  const float eu = u.dot(p - b), ev = v.dot(p - b);
  if (eu >= 0 && ev <= eu) return b;
  const float overC = du * ev - eu * dv;
  if (overC <= 0 && du >= 0 && eu <= 0) return a + du / (du - eu) * u;
  const float fu = u.dot(p - c), fv = v.dot(p - c);
  if (fv >= 0 && fu <= fv) return c;
  const float overB = fu * dv - du * fv;
  if (overB <= 0 && dv >= 0 && fv <= 0) return a + dv / (dv - fv) * v;
  const float overA = eu * fv - fu * ev;
  if (overA <= 0 && ev - eu >= 0 && fu - fv >= 0) return b + (ev - eu) / ((ev - eu) + (fu - fv)) * (c - b);
  const float all = 1 / (overA + overB + overC);
  return a + overB * all * u + overC * all * v;
}

struct Search {
  const Surface* surface;
  float squared;
};

bool visit(RTCPointQueryFunctionArguments* arguments) {
  auto* search = static_cast<Search*>(arguments->userPtr);
  const Point p(arguments->query->x, arguments->query->y, arguments->query->z);
  const Surface& s = *search->surface;
  const uint32_t t = arguments->primID;
  const float squared = (nearestOnTriangle(p, s.corner(t, 0), s.corner(t, 1), s.corner(t, 2)) - p).squaredNorm();
  if (squared >= search->squared) return false;
  search->squared = squared;
  arguments->query->radius = std::sqrt(squared);
  return true;
}

void embree(const std::string& folder, const Surface& surface, const std::vector<float>& queries, int rounds) {
  RTCDevice device = rtcNewDevice("threads=1");
  RTCScene scene = nullptr;
  const double build = milliseconds(rounds, [&] {
    if (scene != nullptr) rtcReleaseScene(scene);
    scene = rtcNewScene(device);
    RTCGeometry geometry = rtcNewGeometry(device, RTC_GEOMETRY_TYPE_TRIANGLE);
    const size_t vertices = surface.positions.size() / 3, triangles = surface.triangles.size() / 3;
    std::memcpy(rtcSetNewGeometryBuffer(geometry, RTC_BUFFER_TYPE_VERTEX, 0, RTC_FORMAT_FLOAT3, 12, vertices),
                surface.positions.data(), 12 * vertices);
    std::memcpy(rtcSetNewGeometryBuffer(geometry, RTC_BUFFER_TYPE_INDEX, 0, RTC_FORMAT_UINT3, 12, triangles),
                surface.triangles.data(), 12 * triangles);
    rtcSetGeometryPointQueryFunction(geometry, visit);
    rtcCommitGeometry(geometry);
    rtcAttachGeometry(scene, geometry);
    rtcReleaseGeometry(geometry);
    rtcCommitScene(scene);
  });
  std::vector<double> distances(queries.size() / 3);
  const double search = milliseconds(rounds, [&] {
    for (size_t i = 0; i < distances.size(); i++) {
      RTCPointQuery query{};
      query.x = queries[3 * i];
      query.y = queries[3 * i + 1];
      query.z = queries[3 * i + 2];
      query.radius = std::numeric_limits<float>::infinity();
      RTCPointQueryContext context;
      rtcInitPointQueryContext(&context);
      Search best{&surface, std::numeric_limits<float>::infinity()};
      rtcPointQuery(scene, &query, &context, nullptr, &best);
      distances[i] = std::sqrt(best.squared);
    }
  });
  rtcReleaseScene(scene);
  rtcReleaseDevice(device);
  write(folder + "/embree.f64", distances);
  std::printf("embree %.3f %.3f\n", build, search);
}

struct Cloud {
  const std::vector<float>& positions;
  size_t kdtree_get_point_count() const { return positions.size() / 3; }
  float kdtree_get_pt(size_t i, size_t axis) const { return positions[3 * i + axis]; }
  template <class Box>
  bool kdtree_get_bbox(Box&) const { return false; }
};
using Tree = nanoflann::KDTreeSingleIndexAdaptor<nanoflann::L2_Simple_Adaptor<float, Cloud>, Cloud, 3>;

void kdTree(const std::string& folder, const Surface& surface, const std::vector<float>& queries, int rounds) {
  const Cloud cloud{surface.positions};
  std::unique_ptr<Tree> tree;
  const double build = milliseconds(rounds, [&] {
    tree = std::make_unique<Tree>(3, cloud, nanoflann::KDTreeSingleIndexAdaptorParams(10));
    tree->buildIndex();
  });
  std::vector<double> distances(queries.size() / 3);
  const double search = milliseconds(rounds, [&] {
    for (size_t i = 0; i < distances.size(); i++) {
      uint32_t found;
      float squared;
      tree->knnSearch(&queries[3 * i], 1, &found, &squared);
      distances[i] = std::sqrt(squared);
    }
  });
  write(folder + "/nanoflann.f64", distances);
  std::printf("nanoflann %.3f %.3f\n", build, search);
}

int main(int argc, char** argv) {
  if (argc != 3) return 2;
  const std::string folder = argv[1];
  const int rounds = std::stoi(argv[2]);
  Surface surface;
  const auto positions = raw<double>(folder + "/fixed-positions.f64");
  surface.positions.assign(positions.begin(), positions.end());
  surface.triangles = raw<uint32_t>(folder + "/fixed-triangles.u32");
  const auto asked = raw<double>(folder + "/queries.f64");
  const std::vector<float> queries(asked.begin(), asked.end());
  embree(folder, surface, queries, rounds);
  kdTree(folder, surface, queries, rounds);
}
